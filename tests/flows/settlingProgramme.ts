import { generateKitCode } from '@/lib/custody/kitCode'
import { DAY, formatIsoDate, HOUR, toLocalDay } from '@/lib/hold/zone'
import { OVERDUE_KINDS, type OverdueKind } from '@/lib/judgement/overdueKinds'
import { makeRandom } from '@/tests/bench/manyEvents'
import { smallRegister } from '@/tests/cases/smallProgramme'

const random = makeRandom(6161)
const WEEK = ['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'] as const

/** How often each thing is overdue: once for a browser with scripts, once for one without. */
export const COPIES = 2

/** What else is overdue, by the product that it is on: to be met by something else than what is asked for. */
export const OTHERWISE = {
  'to be replaced': 'lapsed with no re-collection',
  'past extending': 'lapsed with no re-collection',
  'to be lost': 'under way too long',
  'to be used': 'deviation with no ruling',
  'to be cut again': 'deviation with no ruling',
} as const satisfies Record<string, OverdueKind>

/** What has happened to a sample: each kind so many days ago, with what else is said of it. */
type Life = readonly (readonly [kind: string, daysAgo: number, more?: Record<string, unknown>])[]

/** The product on which a kind is overdue for a copy. */
export const getProduct = (kind: OverdueKind, copy: number) => `${kind} ${copy}`

const SENT = { service: 'road' }
const copied = (daysAgo: number): Life => [['form copy', daysAgo]]
const left = (daysAgo: number): Life => [
  ['collected', daysAgo + 0.5],
  ['dispatched', daysAgo, SENT],
]

/** The life of a sample on which just this is overdue, besides what its product has: a duty, or a limit of ten days. */
const LIVES: Record<
  OverdueKind,
  { life: Life | null; kit?: Record<string, unknown>; has?: 'duty' | 'ten days' }
> = {
  'duty with no kit': { life: null, has: 'duty' },
  'kit not posted': { life: [], kit: { posted: 'not yet' } },
  'not cut': { life: [], has: 'duty' },
  'not handed over': { life: [['collected', 6]] },
  'under way too long': { life: [...left(20), ...copied(20)] },
  'delivered but not received': { life: [...left(9), ...copied(9), ['delivered', 6]] },
  'not loaded in time': { life: [...left(18), ...copied(18), ['received', 13]] },
  'lapsed with no re-collection': { life: [['collected', 15]], has: 'ten days' },
  'deviation with no ruling': {
    life: [
      ...left(9),
      ...copied(9),
      ['received', 4],
      ['deviation', 4, { facts: { what: 'a torn bag' } }],
      ['loaded', 3],
    ],
  },
  'form copy missing': { life: left(3) },
  'report late': { life: [...left(50), ...copied(50), ['received', 45], ['loaded', 44]] },
}

/** The life of each shipment of the past: what is slower than these is late. */
const past = (daysAgo: number): Life => [
  ...left(daysAgo),
  ...copied(daysAgo),
  ['received', daysAgo - 4],
  ['loaded', daysAgo - 5],
  ['reported', daysAgo - 21],
]
const PAST_SHIPMENTS = 160

/**
 * A programme at `now` (ms UTC) in which each kind of `OVERDUE_KINDS` is there `COPIES` times, each on a product of its
 * own, and all of `OTHERWISE`. Everyone works every day, in UTC.
 */
export function settlingProgramme(now: number): {
  register: Record<string, unknown>
  events: Record<string, unknown>[]
} {
  const products: { code: string; plant: string; name: string; protocol: string }[] = []
  const duties: Record<string, unknown>[] = []
  const kits: Record<string, unknown>[] = []
  const events: Record<string, unknown>[] = []
  const issue = (product: string, life: Life, issuedDaysAgo: number, more = {}) => {
    const code = generateKitCode(random)
    const issuedAt = new Date(now - issuedDaysAgo * DAY).toISOString()
    kits.push({ code, product, plant: 'PL1', laboratory: 'LAB', service: 'road', issuedAt, ...more })
    for (const [kind, daysAgo, said] of life) {
      const at = new Date(now - daysAgo * DAY - HOUR).toISOString()
      const waybill = kind === 'dispatched' ? { waybill: `W ${code}` } : {}
      events.push({ source: 'desk', id: `${code} ${kind}`, sample: code, kind, at, ...waybill, ...said })
    }
  }
  const make = (kind: OverdueKind, product: string) => {
    const { life, kit, has } = LIVES[kind]
    const protocol = has === 'ten days' ? 'TEN' : 'LONG'
    products.push({ code: product, plant: 'PL1', name: `Felt, ${product}`, protocol })
    if (has === 'duty') duties.push({ ...duty(now), code: `duty of ${product}`, product })
    if (life) issue(product, life, kind === 'report late' ? 60 : 30, kit)
  }
  for (const kind of OVERDUE_KINDS)
    for (let copy = 0; copy < COPIES; copy += 1) make(kind, getProduct(kind, copy))
  for (const [product, kind] of Object.entries(OTHERWISE)) make(kind, product)
  products.push({ code: 'PAST', plant: 'PL1', name: 'Felt of the past', protocol: 'LONG' })
  for (let shipment = 0; shipment < PAST_SHIPMENTS; shipment += 1) {
    const daysAgo = 60 + (shipment % 90)
    issue('PAST', past(daysAgo), daysAgo + 5)
  }
  return { register: smallRegister({ ...PLACES, products, duties, kits }), events }
}

/** A first test whose report is due in three days, so that every act of it should have been done. */
function duty(now: number) {
  const first = formatIsoDate(toLocalDay(now, 'UTC') + 3)
  const counts = { windowDays: 60, kitDays: 4, loadDays: 2, testDays: 14, reportDays: 5 }
  return { laboratory: 'LAB', service: 'road', first, ...counts }
}

const limit = (amount: number) => ({
  name: 'cut to chamber',
  from: 'collected',
  to: 'loaded',
  amount,
  unit: 'days',
  counting: 'elapsed',
})

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
  plants: [{ code: 'PL1', name: 'A plant', zone: 'UTC', workdays: WEEK }],
  protocols: [
    { code: 'TEN', name: 'Ten days', limits: [limit(10)] },
    { code: 'LONG', name: 'A long time', limits: [limit(90)] },
  ],
}
