import { expect, test } from 'vitest'
import { sayFor } from '../../src/web/kit/say.js'

const workshop = {
  name: 'The Weir Shed',
  weightUnit: 'metric',
  volumeUnit: 'metric',
  timeZone: 'UTC',
  dryBasis: 'conditioned',
  scaleStepG: 1,
  slipPaper: 'A5',
  slipWords: '',
} as const

test('the day that was promised leads, and the one on which it is needed stands beside it', () => {
  const { by } = sayFor(workshop, '2026-03-02T09:00:00.000Z')
  expect(by({ countedOn: '2026-12-07', neededBy: '2026-12-07' })).toBe('needed by Mon 7 Dec 2026')
  expect(by({ countedOn: '2026-12-04', neededBy: '2026-12-07' })).toBe(
    'promised for Fri 4 Dec 2026, needed by Mon 7 Dec 2026',
  )
})

test('no line breaks between a figure and its unit, and no tag is touched', () => {
  const { unbroken } = sayFor(workshop, '2026-03-02T09:00:00.000Z')
  const html = '<p title="12 h">At least 11 h, at 85 °C: 1½ cups, 695 g of 12 bundles, 5 % of 3 trees, 12 gates</p>'
  const typed = '<textarea>12 g</textarea><p>12 g</p>'
  expect(unbroken(typed)).toBe('<textarea>12 g</textarea><p>12\u00a0g</p>')
  expect(unbroken(html)).toBe(
    '<p title="12 h">At least 11\u00a0h, at 85\u00a0°C: 1½\u00a0cups, 695\u00a0g of 12\u00a0bundles, 5\u00a0% of 3 trees, 12 gates</p>',
  )
})
