import type { Limit } from './limit'

/** A protocol whose limits are published: a starting point for a programme's own. */
export interface Preset {
  code: string
  name: string
  limits: Limit[]
  /** Said beside the preset wherever it is offered. */
  note: string
}

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
  zone: 'laboratory',
  citation,
})

/** Hold limits that a regulation states for product-emissions samples. */
export const PRESETS: readonly Preset[] = [
  {
    code: '770.20',
    name: 'Formaldehyde from composite wood, quarterly sample',
    limits: [
      buildDayLimit(
        'made to conditioning',
        'produced',
        'conditioned',
        30,
        '40 CFR 770.20(a)(1): conditioning begins no later than 30 calendar days after production',
      ),
    ],
    note: "Counted from production to the beginning of conditioning; receipt does not stop it. The plant's own manual may state a shorter time (40 CFR 770.21(a)(1)(iii)).",
  },
]

/**
 * Standards that fix such times, whose numbers are left for the programme to fill in from its own copy: they
 * were not seen when this list was made, and a limit from memory would be worse than none.
 */
export const STANDARDS_TO_FILL_IN: readonly { code: string; name: string; where: string }[] = [
  {
    code: 'CDPH v1.2',
    name: 'CDPH/EHLB Standard Method v1.2 (2017)',
    where: 'section 2, its table of times',
  },
  { code: 'ISO 16000-11', name: 'ISO 16000-11:2024', where: 'sampling, storage of samples, preparation' },
  { code: 'EN 16516', name: 'EN 16516:2017+A1:2020', where: 'clause 5' },
]
