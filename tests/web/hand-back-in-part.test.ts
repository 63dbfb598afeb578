import { beforeEach, describe, expect, test } from 'vitest'
import { sayTagCode } from '../../src/domain/tag-code.js'
import { aLot, alike, bring, makeReady, plainText, rowsTicked } from '../hand-back-helper.js'
import { testApp } from '../helper.js'

let site: Awaited<ReturnType<typeof testApp>>
/** Commission 1: lot 1 with three bundles of three ties, on the ready shelf. Commission 2 is somebody else's. */
beforeEach(async () => {
  site = await testApp()
  await bring(site.db, site.by, [aLot(alike(3))])
  await bring(site.db, site.by, [aLot(alike(1))], { name: 'Ode Reed' })
  makeReady(site.raw, 1)
})

type Fields = Record<string, string>
const URL = '/commissions/1/hand-back'
const row = (n: number, field: string) => `lots.0.bundles.${n}.${field}`
const send = (fields: Fields = {}, ticked = 3) =>
  site.browser.post(URL, {
    ...{ do: 'close', version: '0', toWhom: 'Marta Quill', words: '' },
    ...Object.fromEntries(
      Object.entries({ ...rowsTicked([{ lot: 0, bundles: ticked }]), ...fields }).filter(([, v]) => v !== 'not sent'),
    ),
  })
const places = () => site.raw.prepare('select place from bundle where lot_id = 1 order by n').pluck().all()
const closedAt = () => site.raw.prepare('select closed_at from lot where id = 1').pluck().get()
const slipText = async (id: number) => plainText((await site.browser.get(`/hand-backs/${id}/slip`)).text)
const versionNow = async () => String((await site.browser.json(URL)).body.version)

describe('a part of a lot', () => {
  const lastStays = { [row(2, 'stays')]: 'yes' }

  test('goes only when it is said until when the rest stays, or why', async () => {
    const refused = await send(lastStays)
    expect(refused.status).toBe(422)
    expect(refused.text).toContain('Lot 1 goes back in part: say until when bundle 3 stays here, or why.')
    expect(refused.text).toMatch(/lots.0.bundles.2.stays" value="yes" checked/)
    expect(places()).toEqual(['ready shelf', 'ready shelf', 'ready shelf'])
    expect((await send({ ...lastStays, staysUntil: '1 March 2026' })).text).toContain('day until which the rest stays')
    expect((await send({ ...lastStays, staysUntil: 'in 9 days', staysWords: 'one more dip' })).status).toBe(303)
    expect(places()).toEqual(['handed back', 'handed back', 'ready shelf'])
    expect(closedAt()).toBeNull()
  })

  test('stays in sight on every page, and the lot closes with its last bundle', async () => {
    await send({ ...lastStays, staysUntil: 'in 9 days', staysWords: 'one more dip' })
    const said = 'bundle 3 stays here until Wed 11 Mar 2026: one more dip.'
    expect(plainText((await site.browser.get('/hand-backs/1')).text)).toContain(said)
    expect(await slipText(1)).toContain(
      'In part: 2 of the 3 bundles that came. Bundle 3 stays here until Wed 11 Mar 2026: one more dip.',
    )
    const checklist = plainText((await site.browser.get(URL)).text)
    expect(checklist).toContain('Gone before: bundles 1, 2.')
    expect(checklist).toContain('Tied up again as it came : lot 1, bundle 3')
    expect(checklist).not.toContain('lot 1, bundle 2')
    expect(plainText((await site.browser.get('/commissions/1')).text)).toContain('1 still here')
    expect(plainText((await site.browser.get('/lots/1')).text)).toContain('Gone before: bundles 1, 2 ( its slip )')
    expect((await send({}, 3)).status).toBe(303)
    expect([places(), closedAt()]).toEqual([['handed back', 'handed back', 'handed back'], site.by.at])
    expect(await slipText(2)).toContain('In part: 1 of the 3 bundles that came. The others had gone before.')
    expect(await slipText(1)).toContain('Bundle 3 stays here until')
    expect(plainText((await site.browser.get('/lots/1')).text)).toContain('( slip 1 , slip 2 )')
  })

  test('what is not on the ready shelf stays by itself', async () => {
    site.raw.exec("update bundle set place = 'arrivals shelf' where id = 3")
    const rest = { [row(2, 'tiedAgain')]: 'not sent' }
    expect((await send(rest)).text).toContain('say until when bundle 3 stays here, or why.')
    expect((await send({ ...rest, staysWords: 'not dyed yet' })).status).toBe(303)
    expect(places()).toEqual(['handed back', 'handed back', 'arrivals shelf'])
  })

  test('a lot of which nothing goes is not ticked', async () => {
    const all = Object.fromEntries([0, 1, 2].map(n => [row(n, 'stays'), 'yes']))
    expect((await send({ ...all, staysWords: 'later' })).text).toContain('Tick at least one lot that goes back.')
    await bring(site.db, site.by, [aLot(alike(1)), aLot(alike(1))])
    makeReady(site.raw, 3)
    makeReady(site.raw, 4)
    const both = {
      ...rowsTicked([
        { lot: 0, bundles: 1 },
        { lot: 1, bundles: 1 },
      ]),
      'lots.1.bundles.0.stays': 'yes',
    }
    const page = await site.browser.post('/commissions/3/hand-back', {
      ...{ do: 'close', version: '0', toWhom: 'Marta Quill', staysWords: 'later' },
      ...both,
    })
    expect(page.status).toBe(422)
    expect(page.text).toContain('Nothing of lot 4 goes back now: take its tick away.')
  })

  test('a bundle does not both stay and be lost', async () => {
    const both = { ...lastStays, [row(2, 'missing')]: 'yes', [row(2, 'tiedAgain')]: 'not sent', staysWords: 'x' }
    const page = await send({ ...both, [row(2, 'explanation')]: 'nowhere' })
    expect(page.status).toBe(422)
    expect(page.text).toContain(
      'Lot 1, bundle 3 is ticked as staying here, and as not found. Take one of the two away.',
    )
  })
})

describe('scanned tags', () => {
  const code = (bundleId: number) =>
    String(site.raw.prepare('select code from tag where bundle_id = ?').pluck().get(bundleId))
  const unticked = Object.fromEntries([0, 1, 2].map(n => [row(n, 'tiedAgain'), 'not sent']))
  const scanned = (...codes: string[]) => send({ ...unticked, scanned: codes.join('\n') })

  test('tick their bundles, in any case and order, twice or once, and are kept with the slip', async () => {
    expect((await scanned(code(3), code(1).toLowerCase(), sayTagCode(code(2)), code(3))).status).toBe(303)
    expect(places()).toEqual(['handed back', 'handed back', 'handed back'])
    const kept = site.raw.prepare('select bundle_id, tag_code from hand_back_bundle order by 1').raw().all()
    expect(kept).toEqual([1, 2, 3].map(id => [id, code(id)]))
    expect(await slipText(1)).toContain('Known by their tags')
  })

  test('count beside ticks: by tag where there is one, else by number and ties', async () => {
    expect((await send({ [row(0, 'tiedAgain')]: 'not sent', scanned: code(1) })).status).toBe(303)
    expect(await slipText(1)).toContain('Known by their tags 1, number and ties 2')
  })

  test.each([
    [
      'with a wrong check character',
      () => `${code(1).slice(0, 5)}${code(1).endsWith('K') ? 'H' : 'K'}`,
      'cannot be right',
      422,
    ],
    ['that is no code', () => 'hello', 'is not the code of a tag', 422],
    ['of another commission', () => code(4), 'does not belong to commission 1', 409],
    [
      'that no longer counts',
      () => {
        site.raw.exec("update tag set void_at = '2026-03-02', void_why = 'lost' where bundle_id = 1")
        return code(1)
      },
      'no longer counts',
      422,
    ],
  ])('one %s is refused in words, and all that was typed stays', async (_, wrong, sentence, status) => {
    const typed = `${code(2)}\n${wrong()}\n${code(3)}`
    const page = await send({ ...unticked, scanned: typed, words: 'Come again.' })
    expect(page.status).toBe(status)
    expect(plainText(page.text)).toContain(sentence)
    expect(page.text).toContain(typed)
    expect(page.text).toContain('Come again.')
    expect(page.text).not.toContain('Saved from another device')
    expect(places()).toEqual(['ready shelf', 'ready shelf', 'ready shelf'])
    expect(site.raw.prepare('select count(*) from hand_back').pluck().get()).toBe(0)
  })

  test('saved for later stay ticked; one that is gone is not scanned again', async () => {
    await site.browser.post(URL, { do: 'save', version: '0', scanned: code(1) })
    const page = plainText((await site.browser.get(URL)).text)
    expect(page).toContain(`Known by its tag ${sayTagCode(code(1))}`)
    const later = { [row(1, 'stays')]: 'yes', [row(2, 'stays')]: 'yes', staysWords: 'later' }
    expect((await send({ ...later, version: await versionNow() })).status).toBe(303)
    expect(await slipText(1)).toContain('Known by their tags')
    const again = await send({ scanned: code(1), version: await versionNow() })
    expect(again.status).toBe(422)
    expect(again.text).toContain(`The bundle with the tag ${sayTagCode(code(1))} is gone: handed back.`)
  })
})

describe('to whom, and how', () => {
  test('somebody else says by what right, and it stands on the slip', async () => {
    const refused = await send({ toWhom: 'Pia Sedge' })
    expect(refused.status).toBe(422)
    expect(refused.text).toContain(
      'href="#authority">Pia Sedge is neither the owner nor the one who brought the bundles',
    )
    expect((await send({ toWhom: 'Pia Sedge', authority: 'her sister; Marta rang' })).status).toBe(303)
    expect(await slipText(1)).toContain('By what right her sister; Marta rang')
  })

  test('whoever brought them, and the client’s mark, are not asked', async () => {
    site.raw.exec("update arrival set brought_by = 'Lou Alder', authority = 'the neighbour' where commission_id = 1")
    expect((await send({ toWhom: 'lou alder' })).status).toBe(303)
  })

  test.each([
    ['by carrier without a number', { how: 'by carrier' }, 'reference', 'Name the carrier'],
    ['not signed without a reason', { acknowledged: 'not signed' }, 'notSignedBecause', 'Say why it is not signed.'],
    ['signed on the screen by nobody', { acknowledged: 'on the screen' }, 'signature', 'Nobody has signed yet'],
    [
      'signed with a drawing of another kind',
      { acknowledged: 'on the screen', signature: 'M1 1Z' },
      'signature',
      'whole',
    ],
    ['in a way that is not offered', { how: 'by river' }, 'how', 'Choose one: how they go.'],
  ])('%s is asked about', async (_, fields, field, sentence) => {
    const page = await send(fields as Fields)
    expect(page.status).toBe(422)
    expect(page.text).toContain(`href="#${field}"`)
    expect(page.text).toContain(sentence)
    expect(places()).toEqual(['ready shelf', 'ready shelf', 'ready shelf'])
  })

  test.each(['scanned', 'authority', 'reference', 'notSignedBecause', 'signature', 'staysUntil', 'staysWords'])(
    '10,000 characters in %s come back as they were typed',
    async field => {
      const long = 'x'.repeat(10_000)
      const page = await send({ [field]: long })
      expect([page.status, page.text.includes(long)]).toEqual([422, true])
    },
  )

  test('the slip says how it went, and by whom it was signed for', async () => {
    const signature = 'M10 100L20 90L40 110L60 80L90 120'
    expect((await send({ acknowledged: 'on the screen', signature, reference: 'left over' })).status).toBe(303)
    const { text } = await site.browser.get('/hand-backs/1/slip')
    expect(text).toContain(`<path d="${signature}"`)
    expect(plainText(text)).toContain('Received: Marta Quill, signed on the screen')
    expect(plainText(text)).not.toContain('left over')
  })
})

describe('after the hand-back', () => {
  const lost = {
    [row(0, 'missing')]: 'yes',
    [row(0, 'tiedAgain')]: 'not sent',
    [row(0, 'explanation')]: 'last seen on the line',
  }
  const found = (bundleId: string, words: string) =>
    site.browser.post('/hand-backs/1/found', { 'found.bundleId': bundleId, 'found.words': words })

  test('a note stands beside the sealed slip, on every page of it, and the slip stays', async () => {
    await send()
    const before = await slipText(1)
    const answer = await site.browser.post('/hand-backs/1/notes', { 'note.words': 'it was 8 ties, <not> 9' })
    expect([answer.status, answer.headers.location]).toEqual([303, '/hand-backs/1'])
    const after = await slipText(1)
    expect(after).toContain('Added after the hand-back Mon 2 Mar 2026, Wren : “it was 8 ties, &lt;not&gt; 9”')
    expect(after.replace(/ Added after the hand-back.*”/, '')).toBe(before)
    expect(plainText((await site.browser.get('/hand-backs/1')).text)).toContain('it was 8 ties')
  })

  test('a bundle that was not found, and then is, goes back on a slip of its own', async () => {
    await send(lost)
    expect(places()).toEqual(['not found', 'handed back', 'handed back'])
    expect((await found('1', 'behind the tub')).status).toBe(303)
    expect([places(), closedAt()]).toEqual([['ready shelf', 'handed back', 'handed back'], null])
    expect((await found('1', 'again')).status).toBe(409)
    expect(await slipText(1)).toContain('“Lot 1, bundle 1 was found again: behind the tub”')
    expect((await send({ version: await versionNow() })).headers.location).toBe('/hand-backs/2')
    expect([places()[0], closedAt()]).toEqual(['handed back', site.by.at])
    const { back } = (await site.browser.json('/lots/1')).body
    expect(back.map(({ n, found, handBackId }: Record<string, unknown>) => [n, found, handBackId])).toEqual([
      ...[
        [1, true, 2],
        [2, true, 1],
        [3, true, 1],
      ],
    ])
  })

  const stayed = (fields: Record<string, string>) =>
    site.browser.post('/hand-backs/1/stayed', { do: 'ticked', 'stayed.words': 'it lay on the table', ...fields })

  test('what a slip says went and is still here lies on the ready shelf again, and goes on a slip of its own', async () => {
    await send({ [row(1, 'tiesBack')]: '2', [row(1, 'explanation')]: 'one tie snapped' })
    const before = await slipText(1)
    const summary = plainText((await site.browser.get('/hand-backs/1')).text)
    expect(summary).toContain('Something of it is still here? Closed by mistake')
    expect((await stayed({ 'stayed.b2': 'yes' })).status).toBe(303)
    expect([places(), closedAt()]).toEqual([['handed back', 'ready shelf', 'handed back'], null])
    const after = await slipText(1)
    expect(after).toContain('“Lot 1, bundle 2 did not go with it after all: it lay on the table”')
    expect(after.replace(/ Added after the hand-back.*”/, '')).toBe(before)
    const { history } = (await site.browser.json('/lots/1')).body
    expect(history.at(-1)).toMatchObject({ what: 'did not go', became: { bundle: 2, slip: 1 } })
    expect((await stayed({ 'stayed.b2': 'yes' })).status).toBe(422)
    // Its tie stays lost: what goes now says so again.
    const again = { [row(1, 'tiesBack')]: '2', [row(1, 'explanation')]: 'one tie snapped' }
    expect((await send({ ...again, version: await versionNow() })).headers.location).toBe('/hand-backs/2')
    expect([places()[1], closedAt()]).toEqual(['handed back', site.by.at])
    expect((await stayed({ do: 'all', 'stayed.b2': '' })).status).toBe(303)
    expect(places()).toEqual(['ready shelf', 'handed back', 'ready shelf'])
  })

  test.each([
    ['nothing ticked', {}, 'Tick the bundles that are still here.'],
    ['no words', { 'stayed.b2': 'yes', 'stayed.words': ' ' }, 'Fill in: what happened.'],
    ['one that is on no such slip', { 'stayed.b4': 'yes' }, 'Tick the bundles that are still here.'],
    ['nonsense', { do: 'perhaps', 'stayed.b2': 'yes' }, 'There is a problem'],
    ['words without end', { 'stayed.b2': 'yes', 'stayed.words': 'x'.repeat(10_000) }, 'x'.repeat(10_000)],
  ])('%s brings nothing back', async (_, fields, words) => {
    await send()
    const page = await stayed(fields as Record<string, string>)
    expect(page.status).toBe(422)
    expect(page.text).toContain(words)
    expect(places()).toEqual(['handed back', 'handed back', 'handed back'])
  })

  test.each([
    ['nothing', '', ''],
    ['no words', '1', ' '],
    ['a bundle that went back', '2', 'x'],
    ['a bundle of somebody else', '4', 'x'],
    ['words without end', '1', 'x'.repeat(10_000)],
  ])('%s is not found again', async (_, bundleId, words) => {
    await send(lost)
    const page = await found(bundleId, words)
    expect(page.status).toBe(422)
    expect(page.text).toContain('There is a problem')
    expect(places()[0]).toBe('not found')
  })

  test('an empty or endless note is asked for again, and a slip that is not there has none', async () => {
    await send()
    for (const words of ['', '  ', 'x'.repeat(10_000)]) {
      const page = await site.browser.post('/hand-backs/1/notes', { 'note.words': words })
      expect([page.status, page.text.includes(words)]).toEqual([422, true])
    }
    expect((await site.browser.post('/hand-backs/9/notes', { 'note.words': 'x' })).status).toBe(404)
    expect(site.raw.prepare('select count(*) from hand_back_note').pluck().get()).toBe(0)
  })

  test('the slip does not change with the records, and names can be erased from it', async () => {
    await send()
    const before = await slipText(1)
    site.raw.exec(`update catalogue set name = 'other bark' where id = 'red-cedar-inner-bark';
      update client set name = 'Somebody', mark = '', wishes = ''; update commission set purpose = 'other';
      update workshop set weight_unit = 'pounds', time_zone = 'Pacific/Auckland', name = 'Elsewhere';
      update worker set name = 'Linnet'`)
    expect(await slipText(1)).toBe(before)
    site.raw.exec('delete from hand_back_person where hand_back_id = 1')
    const erased = (await site.browser.get('/hand-backs/1/slip')).text
    expect(erased).not.toMatch(/Marta|Quill|MQ|keep it out of the sun/)
    expect(plainText(erased)).toContain('For the name was erased')
    expect((await site.browser.get('/hand-backs/1')).text).not.toMatch(/Marta/)
    expect((await site.browser.get('/hand-backs/1/slip.pdf')).status).toBe(200)
  })
})
