/**
 * The fields of a catalogue entry in groups, a page for each group: what each is called, how it is asked for and
 * where in the entry it stands. Pages, forms and the history of an entry are all made from this one table.
 */
import {
  CONDITIONS,
  DOSE_BASES,
  DYE_CLASSES,
  type EntryKind,
  FIBRE_PARTS,
  HAZARD_STANDINGS,
  METALS,
  SEVERITIES,
  SIGNAL_WORDS,
  SUBSTANCE_FORMS,
  SUBSTANCE_KINDS,
  SUBSTANCE_UNITS,
} from './catalogue.js'
import {
  choice,
  entries,
  entry,
  type FigureField,
  figure,
  flag,
  type Group,
  group,
  part,
  type RowsField,
  rows,
  sentences,
  source,
  text,
  ticks,
} from './catalogue-field.js'
import { FIGURES, LONGEST } from './catalogue-figures.js'

const name = text('name', 'name', LONGEST.name)
const latin = text('latin', 'Latin name', LONGEST.latin, { blank: null })
const words = text('words', 'what to know', LONGEST.words, { lines: 3 })
const plain = (...paths: (keyof typeof FIGURES)[]): FigureField[] => paths.map(path => figure(path, FIGURES[path]))

const fibre: Group[] = [
  group('words', 'Name and words', [name, latin, choice('part', 'part of the plant', FIBRE_PARTS), words]),
  group(
    'water',
    'Water, heat and drying',
    plain(
      'regainPercent',
      'liquorRatioLPerKg',
      'soakMinutes',
      'soakTemperatureC',
      'dyeMinutes',
      'hottestC',
      'dryingHours',
    ),
  ),
  group(
    'takeUp',
    'Take-up by class of dye',
    DYE_CLASSES.map(one => figure(`takeUp.${one}`, FIGURES.takeUp, { label: `take-up of ${one} dye` })),
  ),
]

const substanceOfRow = entry('substanceId', 'substance', 'substance')
const wordsOfRow = text('words', 'in words', LONGEST.sentence, { blank: '' })
const BASIS_HINT = '% owf is per cent of the dry fibre; “per gram” is for each gram of what it goes with.'
const basis = choice('basis', 'reckoned', DOSE_BASES)
const doseFigure = figure('amount', FIGURES.amount, { unitAt: 'basis' })
const doses = (path: string, label: string): RowsField =>
  rows(path, label, 'substance', [substanceOfRow, basis, doseFigure, wordsOfRow], BASIS_HINT)

const inStock = rows('perGram', 'into the stock, for each gram of indigo', 'substance', [
  substanceOfRow,
  figure('ratio', FIGURES.ratio),
  wordsOfRow,
])

const statements = rows('hazard.statements', 'statements on its label', 'statement', [
  text('code', 'code', LONGEST.code),
  text('words', 'in words', LONGEST.sentence),
])

const substance: Group[] = [
  group(
    'words',
    'Name and words',
    [
      name,
      latin,
      choice('kind', 'kind', SUBSTANCE_KINDS),
      choice('dyeClass', 'class of dye', DYE_CLASSES, { none: 'not a dye' }),
      choice('form', 'form', SUBSTANCE_FORMS),
      words,
    ],
    [choice('unit', 'measured in', SUBSTANCE_UNITS)],
  ),
  group('shades', 'How much for a shade', [
    figure('owfPercent.pale', FIGURES.pale),
    figure('owfPercent.medium', FIGURES.medium),
    figure('owfPercent.deep', FIGURES.deep),
    figure('relativeStrength', FIGURES.relativeStrength),
  ]),
  group('label', 'Rate on its tin', [
    part('label', 'its tin says how many to the weight of fibre', [
      text('container', 'one of them is called', LONGEST.container),
      ...plain('containerHolds', 'containersPerKg'),
    ]),
  ]),
  group('bath', 'Its bath', [
    figure('bath.minutes', FIGURES.minutes),
    figure('bath.temperatureC', FIGURES.temperatureC),
    flag('bath.standsOvernight', 'may be left in this bath overnight'),
  ]),
  group('assistants', 'What goes into its dye bath', [doses('assistants', 'goes with it')]),
  group('mordant', 'As a mordant', [
    part('mordantDose', 'it can be a mordant', [basis, { ...doseFigure, label: 'as a mordant' }]),
    doses('mordantAssistants', 'goes with it in the mordant bath'),
  ]),
  group('vat', 'Its vat', [
    part('vat', 'it is dyed from a vat', [
      inStock,
      ...plain('stockLPerG', 'lowestPh', 'highestPh', 'lowestC', 'highestC', 'dips', 'dipMinutes', 'airingMinutes'),
    ]),
  ]),
  group('salt', 'Formula, metal and spoons', [
    text('formula', 'formula', LONGEST.formula, { blank: null }),
    ...plain('molarMassGPerMol'),
    choice('metal', 'metal in it', METALS, { none: 'none' }),
    ...plain('metalFraction', 'gramsPerTeaspoon'),
  ]),
  group('hazard', 'Label and care', [
    choice('hazard.signalWord', 'signal word', SIGNAL_WORDS, { none: 'no signal word', tellNone: true }),
    statements,
    choice('hazard.standing', 'who says so', HAZARD_STANDINGS),
    source('hazard.provenance'),
    sentences('care', 'usual care', LONGEST.sentence),
  ]),
]

const rule: Group[] = [
  group('words', 'Name and words', [
    name,
    choice('severity', 'how bad', SEVERITIES),
    text('words', 'what it says', LONGEST.words, { lines: 3 }),
    source('provenance'),
  ]),
  group('speaksOf', 'When it speaks', [
    entries('fibreIds', 'for these fibres', 'fibre'),
    ticks('fibreParts', 'for these parts of plants', FIBRE_PARTS),
    entries('dyeIds', 'for these dyes', 'dye'),
    ticks('dyeClasses', 'for these classes of dye', DYE_CLASSES),
    entries('mordantIds', 'on these mordants', 'mordant'),
    ticks('conditions', 'when', CONDITIONS),
  ]),
]

export const GROUPS: Record<EntryKind, readonly Group[]> = { fibre, substance, rule }
