import type pg from 'pg'
import { UNRESTRICTED } from '@/lib/custody/event'
import { generateKitCode } from '@/lib/custody/kitCode'
import { parseRegister } from '@/lib/custody/parseRegister'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { DAY, HOUR } from '@/lib/hold/zone'
import { readEvents } from '@/lib/intake/formats/readEvents'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { makeManyKits, makeRandom } from './manyEvents'

/** The instant of all queries, ms UTC. */
export const DUE_NOW = Date.UTC(2026, 1, 20, 12)

const PLANTS = 300
const PRODUCTS = 600
const LABORATORIES = 4

/** Age of the oldest open kit, in days. */
const OPEN_DAYS = 90
const BATCH = 20_000

/** Size of a programme: all kits ever, and the newest of them, which are not reported yet. */
export interface DueSize {
  samples: number
  open: number
}

/**
 * Fills an empty database with a programme of 300 plants and 600 duties, each with a test every three months. Of the
 * finished samples 3 % lapsed, half of these with a re-collection, and 2 % deviated, nearly all with a ruling; one kit
 * in a hundred is a duplicate, and another one retained.
 */
export async function fillDueProgramme({ app, owner }: { app: pg.Pool; owner: pg.Pool }, size: DueSize) {
  const { register, issuedAt } = makeKitsOverYears(size)
  await applyRegister(app, register, DUE_NOW)
  const { kits } = register
  for (let start = 0; start < kits.length; start += BATCH) {
    const lives = kits.slice(start, start + BATCH).map(({ code }, index) => {
      const n = start + index
      return makeEvents(code, n, issuedAt(n), n >= size.samples - size.open)
    })
    const body = lives
      .flat()
      .map((event) => JSON.stringify(event))
      .join('\n')
    await acceptEvents(app, () => readEvents(body, 'ndjson', () => 'UTC'), UNRESTRICTED, DUE_NOW)
  }
  await owner.query('vacuum analyze')
  return register
}

/** Codes of at least three digits, so that they sort numerically. */
const makeCode = (letter: string, n: number) => `${letter}${String(n).padStart(3, '0')}`

function makeKitsOverYears({ samples, open }: DueSize) {
  const plain = makeManyKits(1, 3)
  const random = makeRandom(9)
  const days = (samples / open) * OPEN_DAYS
  const issuedAt = (n: number) => DUE_NOW - Math.round((days * (samples - n) * DAY) / samples)
  const getLaboratory = (product: number) => makeCode('L', product % LABORATORIES)
  const products = Array.from({ length: PRODUCTS }, (_, n) => n)
  const { document, problems } = parseRegister({
    ...plain,
    laboratories: Array.from({ length: LABORATORIES }, (_, n) => ({
      ...plain.laboratories[0],
      code: makeCode('L', n),
    })),
    plants: Array.from({ length: PLANTS }, (_, n) => ({ ...plain.plants[0], code: makeCode('P', n) })),
    products: products.map((n) => ({
      ...plain.products[0],
      code: makeCode('X', n),
      plant: makeCode('P', n % PLANTS),
    })),
    certificates: products.map((n) => ({
      code: makeCode('C', n),
      product: makeCode('X', n),
      issued: '2023-12-31',
      expires: '2026-12-31',
    })),
    duties: products.map((n) => ({
      code: makeCode('D', n),
      product: makeCode('X', n),
      laboratory: getLaboratory(n),
      service: 'road',
      first: `2016-${String((n % 12) + 1).padStart(2, '0')}-15`,
      everyMonths: 3,
      windowDays: 60,
      kitDays: 5,
      loadDays: 2,
      testDays: 28,
      reportDays: 5,
    })),
    kits: [],
  })
  if (!document) throw new Error(JSON.stringify(problems.slice(0, 5)))
  const codes = new Set<string>()
  while (codes.size < samples) codes.add(generateKitCode(random))
  const kits: RegisterDocument['kits'] = [...codes].map((code, n) => ({
    code,
    product: makeCode('X', n % PRODUCTS),
    plant: makeCode('P', n % PLANTS),
    laboratory: getLaboratory(n % PRODUCTS),
    service: 'road',
    purpose: n % 100 === 38 ? 'duplicate' : n % 100 === 71 ? 'retained' : 'first',
    issuedAt: new Date(issuedAt(n)).toISOString(),
  }))
  // The next kit of the product replaces every second one that lapsed.
  for (let n = 0; n + PRODUCTS < samples - open; n += 1)
    if (hasLapsed(n) && Math.floor(n / 33) % 2 === 0)
      Object.assign(kits[n + PRODUCTS] as object, { replaces: kits[n]?.code, purpose: 're-collection' })
  return { register: { ...document, kits }, issuedAt }
}

const hasLapsed = (n: number) => n % 33 === 5

/** The events of a kit, from its cut to its report; for an open one, up to now. */
function makeEvents(sample: string, n: number, issuedAt: number, isOpen: boolean) {
  const cutAt = issuedAt + (5 + (n % 4)) * DAY
  const waitDays = hasLapsed(n) ? 14 : 4
  const desk = { source: 'bench desk', sample }
  const road = { service: 'road', waybill: `W${n}` }
  const events = [
    { ...desk, id: `c${n}`, kind: 'collected', at: cutAt },
    { ...desk, id: `d${n}`, kind: 'dispatched', at: cutAt + 20 * HOUR, ...road },
    { ...desk, id: `f${n}`, kind: 'form copy', at: cutAt + 21 * HOUR },
    { ...desk, id: `r${n}`, kind: 'received', at: cutAt + (2 + (n % 3)) * DAY },
    { ...desk, id: `l${n}`, kind: 'loaded', at: cutAt + (waitDays + (n % 3)) * DAY },
    { ...desk, id: `p${n}`, kind: 'reported', at: cutAt + (34 + (n % 9)) * DAY },
  ]
  const deviated = [
    {
      ...desk,
      id: `v${n}`,
      kind: 'deviation',
      at: cutAt + 5 * DAY,
      facts: { what: 'The form has no signature.' },
    },
  ]
  const ruled = [
    {
      ...desk,
      id: `u${n}`,
      kind: 'ruling',
      at: cutAt + 6 * DAY,
      facts: { on: `bench desk/v${n}`, ruling: 'use', reason: 'It was sent after.' },
    },
  ]
  // An open sample has the events up to now, but every tenth stops after three days and is overdue.
  const until = isOpen ? (n % 10 === 0 ? cutAt + 3 * DAY : DUE_NOW) : Number.POSITIVE_INFINITY
  return [...events, ...(n % 50 === 7 ? deviated : []), ...(n % 50 === 7 && n % 1000 !== 107 ? ruled : [])]
    .filter(({ at, kind }) => at <= until && !(isOpen && kind === 'reported'))
    .map(({ at, ...event }) => ({ ...event, at: new Date(at).toISOString() }))
}
