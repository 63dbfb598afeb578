import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { GRADE_WORDS, GRADES, isBelow, sayWhatFollows } from '../domain/wet-cloth.js'
import type { Trx } from '../store/db.js'
import { findLot } from '../store/lots.js'
import {
  changeWetClothSetting,
  lastClothAt,
  noteWetCloth,
  usesOfLot,
  wetClothSetting,
  wetClothsOfLot,
} from '../store/wet-cloths.js'
import { choice, optionalText, version } from './kit/fields.js'
import { check, type Form, Unfit } from './kit/form.js'
import { formPage, found, idIn } from './kit/post.js'
import { whenPressed } from './pressed.js'

const NOT_TRIED = 'not tried'

const clothForm = z.object({
  grade: choice('What the cloth showed', [...GRADES, NOT_TRIED]),
  why: optionalText('Why', 500),
  words: optionalText('In words', 500),
})
const settingForm = z.object({ least: choice('Least grade', GRADES), version })

const gradeOptions = GRADES.map(grade => [grade, `${grade}: ${GRADE_WORDS[grade]}`])

async function showCloth(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const { db } = request.server
  const lot = found(await findLot(db, idIn(request)), 'lot')
  return reply.page('wet-cloth/lot', {
    title: `Lot ${lot.id}: wet cloth`,
    form,
    status,
    data: {
      lot,
      uses: await usesOfLot(db, lot.id),
      least: (await wetClothSetting(db)).least,
      cloths: await wetClothsOfLot(db, lot.id),
      grades: [...gradeOptions, [NOT_TRIED, 'Not tried']],
    },
  })
}

async function showSetting(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const data = { setting: await wetClothSetting(request.server.db), grades: gradeOptions }
  return reply.page('wet-cloth/setting', { title: 'Settings: wet cloth', form, status, data })
}

/** The last word counts: one that had to wait on a phone does not undo a later one. */
async function whenTried(trx: Trx, request: FastifyRequest, form: Form): Promise<string | undefined> {
  const { at, isFirst } = found(await lastClothAt(trx, idIn(request)), 'lot')
  return whenPressed(request, form, at, isFirst ? 'the lot came' : 'a cloth was last written down')
}

export function wetCloth(app: FastifyInstance): void {
  formPage(app, '/lots/:id/wet-cloth', {
    show: showCloth,
    act: async (trx, request, form, by) => {
      const { grade: chosen, why, words } = check(clothForm, form)
      const grade = chosen === NOT_TRIED ? null : chosen
      if (grade === null && why === '')
        throw new Unfit([{ field: 'why', sentence: 'Say why the cloth was not tried.' }])
      const { least } = await wetClothSetting(trx)
      const isEnough = grade !== null && !isBelow(grade, least)
      const cloth = { grade, why: isEnough ? '' : why, words }
      await noteWetCloth(trx, by, idIn(request), cloth, await whenTried(trx, request, form))
      return {
        to: `/lots/${idIn(request)}`,
        said: sayWhatFollows(cloth, await usesOfLot(trx, idIn(request)), least),
      }
    },
  })
  formPage(app, '/settings/wet-cloth', {
    show: showSetting,
    act: async (trx, _request, form) => {
      const { least, version } = check(settingForm, form)
      await changeWetClothSetting(trx, least, version)
      return { to: '/settings/wet-cloth', said: `Lots for a class or for wet use go back from grade ${least}.` }
    },
  })
}
