import type { PlainMessageKey } from '@/lib/messages/message'
import type { Limit } from './limit'

/** A protocol whose limits are published: a starting point for a programme's own. */
export interface Preset {
  code: string
  name: string
  limits: Limit[]
  /** Stands beside the preset wherever it is offered. */
  note: PlainMessageKey
}

/** A regulation’s limit in days at the plant: where it is made, and where it may not be extended. */
const buildDayLimit = (
  name: string,
  from: Limit['from'],
  to: Limit['to'],
  amount: number,
  citation: string,
): Limit => ({
  name,
  from,
  to,
  amount,
  unit: 'days',
  counting: 'calendar',
  zone: 'plant',
  extendable: false,
  citation,
})

/** Hold limits that a regulation states for product-emissions samples. */
export const PRESETS: readonly Preset[] = [
  {
    code: '770.20',
    name: 'Formaldehyde from composite wood',
    limits: [
      buildDayLimit(
        'made to conditioning',
        'produced',
        'conditioned',
        30,
        '40 CFR 770.20(a)(1): conditioning begins no later than 30 calendar days after production',
      ),
    ],
    note: 'preset.compositeWood.note',
  },
]

/**
 * Standards that fix such times. The programme fills in the numbers from its own copy: nobody saw the standards when this
 * list was made, and a limit from memory would be worse than none.
 */
export const STANDARDS_TO_FILL_IN: readonly { code: string; name: string; where: PlainMessageKey }[] = [
  {
    code: 'CDPH v1.2',
    name: 'CDPH/EHLB Standard Method v1.2 (2017)',
    where: 'preset.cdph.where',
  },
  { code: 'ISO 16000-11', name: 'ISO 16000-11:2024', where: 'preset.iso16000.where' },
  { code: 'EN 16516', name: 'EN 16516:2017+A1:2020', where: 'preset.en16516.where' },
]
