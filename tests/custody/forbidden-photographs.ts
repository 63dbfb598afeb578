/** What the database refuses of photographs and descriptions; tried on the workshop of whole-workshop.ts. */
import type { Case } from './forbidden.js'

const yes = "update client set photographs = 'yes'"
const hash = "'0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef'"

type Columns = Record<string, string>
const insert = (table: string, columns: Columns) =>
  `insert into ${table} (${Object.keys(columns)}) values (${Object.values(columns)})`

const ofLot4: Columns = { lot_id: '4', moment: "'as it came'", at: "'2026-03-02'", worker_id: '1', words: "'pale'" }
/** Of lot 4, whose bundles are 6 to 9. */
const photograph = (but: Columns = {}) =>
  insert('photograph', { hash, ...ofLot4, width_px: '640', height_px: '480', bytes: '9000', ...but })
const description = (but: Columns = {}) => insert('description', { ...ofLot4, ...but })

const change = (what: string) => `update photograph set ${what} where id = (select max(id) from photograph)`
const withdrawn = "withdrawn_at = '2026-03-03', withdrawn_by = 1, withdrawn_why = 'blurred'"
const keptOne: Case = [yes, photograph()]

/** For the whole workshop: a photograph of bundle 6 that was withdrawn, and a description of it. */
export const photographed = [
  yes,
  photograph({ bundle_id: '6' }),
  change(withdrawn),
  description({ bundle_id: '6' }),
].join('; ')

export const photographsByTrigger: Record<string, Case[]> = {
  photograph_needs_a_yes: [
    ["update client set photographs = 'no'", photograph()],
    ["update client set photographs = 'not asked'", photograph()],
  ],
  photograph_of_lot: [
    [yes, photograph({ bundle_id: '3' })],
    [yes, photograph({ bundle_id: '6', lot_id: '2' })],
  ],
  photograph_starts_kept: [
    [yes, photograph({ withdrawn_at: "'2026-03-03'", withdrawn_by: '1', withdrawn_why: "'blurred'" })],
  ],
  photograph_stays: [
    [...keptOne, change(`hash = replace(hash, '0', '1')`)],
    [...keptOne, change('lot_id = 2')],
    [...keptOne, change('bundle_id = 7')],
    [...keptOne, change("moment = 'as it goes'")],
    [...keptOne, change("at = '2026-03-01'")],
    [...keptOne, change('worker_id = 2')],
    [...keptOne, change('width_px = 1')],
    [...keptOne, change('height_px = 1')],
    [...keptOne, change('bytes = 1')],
    [...keptOne, change("words = 'dark'")],
    [...keptOne, change('id = 77')],
    [...keptOne, change(withdrawn), change('withdrawn_at = null, withdrawn_by = null, withdrawn_why = null')],
    [...keptOne, change(withdrawn), change("withdrawn_at = '2026-03-04'")],
    [...keptOne, change(withdrawn), change('withdrawn_by = 2')],
    [...keptOne, change(withdrawn), change("withdrawn_why = 'sharp after all'")],
  ],
  photograph_kept: [
    [...keptOne, 'delete from photograph'],
    [...keptOne, change(withdrawn), 'delete from photograph'],
  ],
  description_of_lot: [[description({ bundle_id: '3' })]],
  description_stays: [[description(), "update description set words = 'dark'"]],
  description_kept: [[description(), 'delete from description']],
}

export const photographsByCheck: Record<string, Record<string, Case[]>> = {
  photograph: {
    "length(hash) = 64 AND hash NOT GLOB '*[^0-9a-f]*'": [
      [yes, photograph({ hash: "'../../x'" })],
      [yes, photograph({ hash: `upper(${hash})` })],
    ],
    "moment IN ('as it came', 'at the pot', 'as it goes')": [[yes, photograph({ moment: "'some day'" })]],
    'width_px > 0': [[yes, photograph({ width_px: '0' })]],
    'height_px > 0': [[yes, photograph({ height_px: '-1' })]],
    'bytes > 0': [[yes, photograph({ bytes: '0' })]],
    'withdrawn_why IS NULL OR length(trim(withdrawn_why)) > 0': [
      [...keptOne, change("withdrawn_at = '2026-03-03', withdrawn_by = 1, withdrawn_why = ' '")],
    ],
    '(withdrawn_at IS NULL) = (withdrawn_by IS NULL)': [
      [...keptOne, change("withdrawn_at = '2026-03-03', withdrawn_why = 'blurred'")],
    ],
    '(withdrawn_at IS NULL) = (withdrawn_why IS NULL)': [
      [...keptOne, change("withdrawn_at = '2026-03-03', withdrawn_by = 1")],
    ],
  },
  description: {
    "moment IN ('as it came', 'at the pot', 'as it goes')": [[description({ moment: "'some day'" })]],
    'length(trim(words)) > 0': [[description({ words: "' '" })]],
  },
  photograph_setting: {
    'id = 1': [["insert into photograph_setting (id, wanted) values (2, 'none')"]],
    "wanted IN ('none', 'as it came', 'as it came and as it goes')": [["update photograph_setting set wanted = 'all'"]],
  },
}
