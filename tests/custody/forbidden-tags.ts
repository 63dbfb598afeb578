/**
 * What the database refuses of tags. Of the whole workshop's bundle 8 the tag was printed, lost and replaced; bundles 7
 * and 9 have the tags they came with.
 */
import type { Another, Case } from './forbidden.js'

const another = (table: string, but: Record<string, string>, like = 'true'): Another => ({ another: table, but, like })
const live = (bundleId: number) => `(select id from tag where bundle_id = ${bundleId} and void_at is null)`
const first8 = '(select min(id) from tag where bundle_id = 8)'
const voided = (bundleId: number) =>
  `update tag set void_at = '2026-03-02', void_why = 'lost' where id = ${live(bundleId)}`
const next9 = (but: Record<string, string> = {}): Another => {
  const last = '(select max(id) from tag where bundle_id = 9)'
  const tag = { code: "'23K4H7'", bundle_id: '9', replaces: last, void_at: 'null', void_why: "''" }
  return another('tag', { ...tag, ...but })
}

export const tagsByTrigger: Record<string, Case[]> = {
  tag_kept: [['delete from tag where bundle_id = 9'], [`delete from tag where id = ${live(8)}`]],
  tag_stays: [
    [`update tag set code = '23K4H7' where id = ${live(9)}`],
    [`update tag set made_at = '2025-03-02' where id = ${live(9)}`],
    [`update tag set id = id + 1000 where id = ${live(9)}`],
    [`update tag set replaces = null where id = ${live(8)}`],
    [voided(7), `update tag set bundle_id = 7 where id = ${live(9)}`],
  ],
  tag_void: [
    [`update tag set void_why = 'found again' where id = ${first8}`],
    [voided(7), "update tag set void_at = null, void_why = '' where bundle_id = 7"],
  ],
  tag_follows: [
    [voided(9), next9({ replaces: 'null' })],
    [voided(9), next9({ replaces: live(7) })],
  ],
  tag_print_stays: [["update tag_print set how = 'by hand'"], ["update tag_print set at = '2025-03-02'"]],
  tag_print_kept: [['delete from tag_print']],
}

export const tagsByCheck: Record<string, Record<string, Case[]>> = {
  tag: {
    'id >= 0': [[voided(9), next9({ id: '-1' })]],
    "length(code) BETWEEN 6 AND 7 AND code NOT GLOB '*[^23467HKRTWXY]*'": [
      [voided(9), next9({ code: "'23K4H'" })],
      [voided(9), next9({ code: "'23K4H72K'" })],
      [voided(9), next9({ code: "'23K4HO'" })],
      [voided(9), next9({ code: "'23k4h7'" })],
    ],
    "(void_at IS NULL) = (void_why = '')": [
      [`update tag set void_at = '2026-03-02' where id = ${live(9)}`],
      [`update tag set void_why = 'lost' where id = ${live(9)}`],
    ],
  },
  tag_print: {
    'sheet > 0': [[another('tag_print', { sheet: '0' })]],
    "how IN ('printed', 'by hand')": [[another('tag_print', { sheet: '9', how: "'engraved'" })]],
  },
  tag_setting: {
    'id = 1': [[another('tag_setting', { id: '2' })]],
    "paper IN ('A4', 'Letter', 'labels')": [["update tag_setting set paper = 'A3'"]],
    'dots_per_inch IN (200, 203, 300, 600)': [['update tag_setting set dots_per_inch = 72']],
    "dot_size IN ('small', 'usual', 'large')": [["update tag_setting set dot_size = 'tiny'"]],
  },
}

export const nameOnTag: Record<string, Case[]> = { 'name_on_tag IN (0, 1)': [['update client set name_on_tag = 2']] }

export const tagsByUnique: Record<string, Case[]> = {
  'tag(code)': [[voided(9), next9({ code: '(select code from tag where bundle_id = 7)' })]],
  'tag(bundle_id)': [[next9()]],
  'tag(replaces)': [['drop trigger tag_follows', voided(9), next9({ replaces: first8 })]],
  'tag_print(sheet, tag_id)': [[another('tag_print', {})]],
}
