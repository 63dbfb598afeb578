/** What the database refuses of wet cloths. */
import type { Another, Case } from './forbidden.js'

const cloth = (but: Record<string, string>): Another => ({ another: 'wet_cloth', but })

export const wetClothsByTrigger: Record<string, Case[]> = {
  wet_cloth_stays: [["update wet_cloth set grade = '5'"]],
  wet_cloth_kept: [['delete from wet_cloth']],
}
const GRADE = "IN ('5', '4-5', '4', '3-4', '3', '2-3', '2', '1-2', '1')"
export const wetClothsByCheck: Record<string, Record<string, Case[]>> = {
  wet_cloth: {
    [`grade ${GRADE}`]: [[cloth({ grade: "'6'" })], [cloth({ grade: "'5-4'" })]],
    [`least ${GRADE}`]: [[cloth({ least: "'0'" })]],
    'grade IS NOT NULL OR length(trim(why)) > 0': [[cloth({ grade: 'null', why: "' '" })]],
  },
  client_keeping: {
    'id = 1': [['insert into client_keeping values (2, 5, 1)']],
    'years BETWEEN 1 AND 50': [['update client_keeping set years = 0'], ['update client_keeping set years = 51']],
  },
  wet_cloth_setting: {
    'id = 1': [["insert into wet_cloth_setting values (2, '4', 1)"]],
    [`least ${GRADE}`]: [["update wet_cloth_setting set least = 'white'"]],
  },
}
