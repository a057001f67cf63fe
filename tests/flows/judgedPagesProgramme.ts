import { generateKitCode } from '@/lib/custody/kitCode'
import { DAY, HOUR } from '@/lib/hold/zone'
import { makeRandom } from '@/tests/bench/manyEvents'
import { smallRegister } from '@/tests/cases/smallProgramme'

const random = makeRandom(1414)
const WEEK = ['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'] as const

/** What was found on a box when it was received. */
export const FOUND = 'seal broken, 61 °C, torn'

/** Kits of a limit of ten days, named after what is to be done about them. */
export const KITS = {
  /** Received with something found. */
  torn: generateKitCode(random),
  /** The same, to be ruled out, with a spare kit at its plant, and at a plant without one. */
  ruledOut: generateKitCode(random),
  ruledOutElsewhere: generateKitCode(random),
  spare: generateKitCode(random),
  /** A retained sample that was handed over all the same, and lapsed two days ago; one that came with a fault. */
  retainedUnderWay: generateKitCode(random),
  retainedTorn: generateKitCode(random),
  /** Cut, not handed over, and lapsed two days ago. */
  lapsed: generateKitCode(random),
  ready: generateKitCode(random),
  /** Retained, and lapsed two days ago. */
  retained: generateKitCode(random),
  /** Under way, and lapsed two days ago. */
  lapsedUnderWay: generateKitCode(random),
  underWay: generateKitCode(random),
}

/** The key of the finding on a kit. */
export const findingOn = (code: string) => `desk/${code} deviation`

type Life = readonly (readonly [kind: string, daysAgo: number, more?: Record<string, unknown>])[]

const left = (daysAgo: number): Life => [
  ['collected', daysAgo],
  ['dispatched', daysAgo - 0.5, { service: 'road' }],
  ['form copy', daysAgo - 0.5],
]
const received: Life = [...left(2), ['received', 0.1], ['deviation', 0.1, { facts: { what: FOUND } }]]

const LIVES: Record<keyof typeof KITS, Life> = {
  torn: received,
  ruledOut: received,
  ruledOutElsewhere: received,
  spare: [],
  lapsed: [['collected', 12]],
  ready: [['collected', 0.2]],
  retained: [['collected', 12]],
  retainedUnderWay: left(12),
  retainedTorn: received,
  lapsedUnderWay: left(12),
  underWay: left(1),
}

/** A programme at `now` (ms UTC) in which everyone works every day, in UTC. */
export function judgedProgramme(now: number): {
  register: Record<string, unknown>
  events: Record<string, unknown>[]
} {
  const issuedAt = new Date(now - 30 * DAY).toISOString()
  const names = Object.keys(KITS) as (keyof typeof KITS)[]
  const kits = names.map((name) => ({
    code: KITS[name],
    ...(name === 'ruledOutElsewhere' ? { plant: 'PL2', product: 'CORK' } : { plant: 'PL1' }),
    ...(name === 'spare' || name === 'ruledOutElsewhere' ? {} : { product: 'FELT' }),
    ...(name.startsWith('retained') ? { purpose: 'retained' } : {}),
    laboratory: 'LAB',
    service: 'road',
    issuedAt,
  }))
  const events = names.flatMap((name) =>
    LIVES[name].map(([kind, daysAgo, more]) => ({
      source: 'desk',
      id: `${KITS[name]} ${kind}`,
      sample: KITS[name],
      kind,
      at: new Date(now - daysAgo * DAY - HOUR).toISOString(),
      ...(kind === 'dispatched' ? { waybill: `W ${KITS[name]}` } : {}),
      ...more,
    })),
  )
  return { register: smallRegister({ ...PLACES, kits }), events }
}

const PLACES = {
  laboratories: [
    {
      code: 'LAB',
      name: 'A laboratory',
      zone: 'UTC',
      receiving: Object.fromEntries(WEEK.map((day) => [day, ['00:00-24:00']])),
      closed: [],
    },
  ],
  plants: ['PL1', 'PL2'].map((code) => ({ code, name: `Plant ${code}`, zone: 'UTC', workdays: WEEK })),
}
