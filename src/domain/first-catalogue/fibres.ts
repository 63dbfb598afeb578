/** The first fibres. Where nothing is published for this very fibre the figure is null, or says whose figure it is. */
import type { Fibre } from '../catalogue.js'
import { book, fibre, handbook, memory, NO_TAKE_UP, norm, practice } from './figures.js'

const D1909 = 'commercial regain, ASTM D1909-13'
/** Overnight: half an hour to an hour is not enough for bark. */
const OVERNIGHT = practice(720)
const ORDINARY = practice(1)
const COTTON_LIKE = memory(1)

const linenTakeUp: Fibre['takeUp'] = {
  ...NO_TAKE_UP,
  'all-purpose': ORDINARY,
  direct: COTTON_LIKE,
  'fibre-reactive': COTTON_LIKE,
  union: COTTON_LIKE,
  plant: book(1, 'Mairet 1916, ch. X: recipes for cotton and linen alike'),
  indigo: book(1, 'Mairet 1916, ch. X: recipes for cotton and linen alike'),
}

const bastTakeUp: Fibre['takeUp'] = {
  ...NO_TAKE_UP,
  'all-purpose': ORDINARY,
  direct: COTTON_LIKE,
  'fibre-reactive': COTTON_LIKE,
  union: COTTON_LIKE,
}

export const fibres: Fibre[] = [
  fibre({
    id: 'red-cedar-inner-bark',
    name: 'red cedar inner bark',
    latin: 'Thuja plicata',
    part: 'inner bark',
    words:
      'Resists dye: it takes the double of ordinary fibre, and a night in the bath. Split it to its working thickness first.',
    takeUp: { ...NO_TAKE_UP, 'all-purpose': practice(2) },
    dyeMinutes: OVERNIGHT,
    dryingHours: memory(24),
  }),
  fibre({
    id: 'yellow-cedar-inner-bark',
    name: 'yellow cedar inner bark',
    latin: 'Callitropsis nootkatensis',
    part: 'inner bark',
    words: 'Finer and paler than red cedar; indigo gives blue on it, in dips.',
    dyeMinutes: OVERNIGHT,
    dryingHours: memory(24),
  }),
  fibre({
    id: 'lime-inner-bark',
    name: 'lime inner bark',
    latin: 'Tilia spp.',
    part: 'inner bark',
    words: 'Retted bast of lime (linden); comes in layers of differing fineness and colour.',
    dyeMinutes: OVERNIGHT,
    dryingHours: memory(24),
  }),
  fibre({
    id: 'willow-inner-bark',
    name: 'willow inner bark',
    latin: 'Salix spp.',
    part: 'inner bark',
    words: 'Rich in tannin: iron darkens it by itself.',
    dyeMinutes: OVERNIGHT,
    dryingHours: memory(24),
  }),
  fibre({
    id: 'elm-inner-bark',
    name: 'elm inner bark',
    latin: 'Ulmus spp.',
    part: 'inner bark',
    words: 'Slippery when wet, leathery when dry; used for seats.',
    dyeMinutes: OVERNIGHT,
    dryingHours: memory(24),
  }),
  fibre({
    id: 'willow-rods-buff',
    name: 'willow rods, buff',
    latin: 'Salix spp.',
    part: 'rod',
    words: 'Boiled in the bark and peeled: already coloured by its own tannin, so the shade starts from tan.',
    dryingHours: memory(48),
  }),
  fibre({
    id: 'willow-rods-white',
    name: 'willow rods, white',
    latin: 'Salix spp.',
    part: 'rod',
    words: 'Peeled in spring without boiling; pale ground for a clear colour.',
    dryingHours: memory(48),
  }),
  fibre({
    id: 'rattan-core',
    name: 'rattan core',
    latin: 'Calamus spp.',
    part: 'core',
    words: 'Round core (reed, centre cane): even and thirsty at the cut ends, so turn it often.',
    dryingHours: memory(48),
  }),
  fibre({
    id: 'raffia',
    name: 'raffia',
    latin: 'Raphia spp.',
    part: 'leaf',
    words: 'Thin leaf skin; tangles when it is stirred, so tie it loosely in hanks.',
    dryingHours: memory(12),
  }),
  fibre({
    id: 'soft-rush',
    name: 'soft rush',
    latin: 'Juncus effusus',
    part: 'stem',
    words: 'Pithy stem that breaks when it is bent dry; lay it flat in a long bath.',
  }),
  fibre({
    id: 'cattail',
    name: 'cattail leaf',
    latin: 'Typha spp.',
    part: 'leaf',
    words: 'Spongy leaf that floats: weigh it down well.',
  }),
  fibre({
    id: 'seagrass',
    name: 'seagrass cord',
    latin: 'Cyperus spp.',
    part: 'stem',
    words: 'Twisted cord with a waxy skin; the inside of the twist dyes last.',
  }),
  fibre({
    id: 'paper-mulberry-bast',
    name: 'paper mulberry bast',
    latin: 'Broussonetia papyrifera',
    part: 'bast',
    words: 'White inner bast for paper, cord and cloth; opens into fibres when it is boiled hard.',
  }),
  fibre({
    id: 'nettle-bast',
    name: 'nettle bast',
    latin: 'Urtica dioica',
    part: 'bast',
    words: 'Fine bast, soft when worked.',
  }),
  fibre({
    id: 'flax',
    name: 'flax',
    latin: 'Linum usitatissimum',
    part: 'bast',
    words: 'Looks much darker wet than dry: dry a bit to judge the shade.',
    regainPercent: norm(12, D1909),
    takeUp: linenTakeUp,
  }),
  fibre({
    id: 'hemp',
    name: 'hemp',
    latin: 'Cannabis sativa',
    part: 'bast',
    words: 'Dyes like flax, a little duller.',
    regainPercent: norm(12, D1909),
    takeUp: bastTakeUp,
  }),
  fibre({
    id: 'jute',
    name: 'jute',
    latin: 'Corchorus spp.',
    part: 'bast',
    words: 'Takes basic dyes eagerly; browns in sunlight whatever its colour.',
    regainPercent: norm(13.75, `${D1909} (the European Union's allowance is 17, from memory)`),
    takeUp: {
      ...bastTakeUp,
      basic: {
        value: 1,
        provenance: handbook('Nature 157, 486 (1946): strong affinity for basic dyes; no factor given'),
      },
      acid: memory(1),
    },
  }),
  fibre({
    id: 'ramie',
    name: 'ramie',
    latin: 'Boehmeria nivea',
    part: 'bast',
    words: 'Smooth and lustrous; dyes like flax.',
    regainPercent: { value: 7.6, provenance: { kind: 'from memory', source: 'ASTM D1909, raw ramie, from memory' } },
    takeUp: bastTakeUp,
  }),
  fibre({
    id: 'sisal',
    name: 'sisal leaf fibre',
    latin: 'Agave sisalana',
    part: 'leaf',
    words: 'Coarse leaf fibre; harsh when dry.',
    regainPercent: {
      value: 14,
      provenance: { kind: 'from memory', source: 'Regulation (EU) 1007/2011, Annex IX, from memory' },
    },
  }),
]
