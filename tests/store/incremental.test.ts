import fc from 'fast-check'
import { beforeAll, expect, test } from 'vitest'
import { EVENT_KINDS, type EventKind, type NamedReporter, UNRESTRICTED } from '@/lib/custody/event'
import { generateKitCode } from '@/lib/custody/kitCode'
import { parseRegister } from '@/lib/custody/parseRegister'
import { DAY } from '@/lib/hold/zone'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { deriveDueSamples } from '@/lib/store/projection/deriveDue'
import { rebuild } from '@/lib/store/projection/rebuild'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { makeRandom } from '@/tests/bench/manyEvents'
import { clearLedger, derivedText } from '@/tests/cases/derivedText'
import { atLaboratory, atPlant } from '@/tests/cases/reporters'
import { wire } from '@/tests/cases/smallProgramme'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { chooseUsualOrLong } from '@/tests/setup/usualOrLong'

const START = Date.parse('2026-10-20T12:00:00Z')
const random = makeRandom(4242)
const KITS = Array.from({ length: 5 }, () => generateKitCode(random))

let database: TestDatabase
beforeAll(async () => {
  database = await makeTestDatabase()
})

/** What may be different about the register at a step; each choice is a number that picks one of a few. */
const CHOICES = {
  kits: fc.array(fc.record({ isThere: fc.boolean(), product: fc.nat(3), plant: fc.nat(1) }), {
    minLength: KITS.length,
    maxLength: KITS.length,
  }),
  plantZone: fc.constantFrom('Europe/Lisbon', 'Asia/Kolkata'),
  secondPlantZone: fc.constantFrom('Pacific/Auckland', 'America/Los_Angeles'),
  laboratoryZone: fc.constantFrom('America/New_York', 'Pacific/Kiritimati'),
  depot: fc.constantFrom(undefined, 'Australia/Lord_Howe', 'America/St_Johns'),
  isDepotLaboratory: fc.boolean(),
  closed: fc.subarray(['2026-10-19', '2026-10-21', '2026-10-23', '2026-11-02', '2026-11-03']),
  hasFriday: fc.boolean(),
  firstProtocol: fc.constantFrom('A', 'B', 'C'),
  amountOfA: fc.nat(4),
  amountOfB: fc.nat(4),
  amountOfC: fc.nat(4),
  hasSecondProduct: fc.boolean(),
  name: fc.constantFrom('Tile', 'Board'),
  holdsFromDays: fc.constantFrom(undefined, undefined, 1, 3, 6),
}

const anyRegister = fc.record(CHOICES)
const anyChange = fc
  .record(CHOICES, { requiredKeys: [] })
  .map((changes) => ({ kind: 'register' as const, changes }))
type AnyRegister = typeof anyRegister extends fc.Arbitrary<infer T> ? T : never

const anyEvent = fc.record({
  key: fc.nat(15),
  kind: fc.oneof(
    fc.constantFrom(...EVENT_KINDS),
    // What ties samples together and takes reports out, more often.
    fc.constantFrom<EventKind>('dispatched', 'collected', 'withdrawn', 'extended'),
  ),
  sample: fc.option(fc.nat(KITS.length - 1), { freq: 3 }),
  waybill: fc.constantFrom('W1', 'w-1', 'W2', 'W3', null),
  atDays: fc.integer({ min: -6, max: 9 }),
  isFar: fc.constantFrom(false, false, false, false, true),
  form: fc.constantFrom('instant', 'date', 'local'),
  place: fc.constantFrom('P1', 'P2', 'LAB', 'DEPOT', null),
  corrects: fc.option(fc.nat(15), { freq: 2 }),
  product: fc.constantFrom(null, null, 'X1', 'X2'),
})

const anyEvents = fc.record({
  kind: fc.constant('events' as const),
  events: fc.array(anyEvent, { minLength: 1, maxLength: 4 }),
  reporting: fc.constantFrom<NamedReporter>(UNRESTRICTED, UNRESTRICTED, atPlant('P1'), {
    ...atLaboratory('LAB'),
    kinds: ['dispatched', 'withdrawn'],
  }),
})

const anyStep = fc.oneof(
  { weight: 3, arbitrary: anyChange },
  { weight: 5, arbitrary: anyEvents },
  // A clock that goes ahead, and one that is set back after it was ahead.
  { weight: 2, arbitrary: fc.record({ kind: fc.constant('time' as const), days: fc.constantFrom(3, -3) }) },
)

function toDocument(choice: AnyRegister, now: number): Record<string, unknown> {
  const depot = choice.depot && { code: 'DEPOT', name: 'Depot', zone: choice.depot }
  const week = ['mon', 'tue', 'wed', 'thu', ...(choice.hasFriday ? ['fri'] : [])]
  const receiving = Object.fromEntries(week.map((day) => [day, ['08:00-16:00']]))
  const protocol = (code: string, amount: number) => ({
    code,
    name: code,
    limits: [
      { name: 'cut to chamber', from: 'collected', to: 'loaded', amount, unit: 'working days' },
      {
        name: code === 'C' ? 'made to cut' : 'in transit',
        from: code === 'C' ? 'produced' : 'dispatched',
        to: code === 'C' ? 'collected' : 'received',
        amount: amount + 1,
        unit: 'days',
        counting: 'calendar',
        zone: 'plant',
      },
    ],
  })
  const product = (code: string, plant: string, of: string) => ({
    code,
    plant,
    name: `${choice.name} ${code}`,
    protocol: of,
  })
  return {
    ...(choice.holdsFromDays === undefined
      ? {}
      : { holdsFrom: new Date(now + choice.holdsFromDays * DAY).toISOString() }),
    laboratories: [
      { code: 'LAB', name: 'Laboratory', zone: choice.laboratoryZone, receiving, closed: choice.closed },
      ...(depot && choice.isDepotLaboratory ? [{ ...depot, receiving, closed: [] }] : []),
    ],
    plants: [
      { code: 'P1', name: `Plant ${choice.name}`, zone: choice.plantZone },
      { code: 'P2', name: 'Second', zone: choice.secondPlantZone },
      ...(depot && !choice.isDepotLaboratory ? [depot] : []),
    ],
    services: [{ code: 'road', name: 'Road' }],
    protocols: [
      protocol('A', choice.amountOfA),
      protocol('B', choice.amountOfB),
      protocol('C', choice.amountOfC),
    ],
    products: [
      product('X1', 'P1', choice.firstProtocol),
      ...(choice.hasSecondProduct ? [product('X2', 'P2', 'B')] : []),
    ],
    kits: choice.kits.flatMap(({ isThere, product: which, plant }, index) => {
      if (!isThere) return []
      const made = which === 1 ? 'X1' : which === 2 && choice.hasSecondProduct ? 'X2' : undefined
      return [
        {
          code: KITS[index],
          plant: made === 'X1' ? 'P1' : made === 'X2' ? 'P2' : plant === 0 ? 'P1' : 'P2',
          laboratory: 'LAB',
          issuedAt: '2026-10-18T12:00:00Z',
          ...(made === undefined ? {} : { product: made }),
        },
      ]
    }),
  }
}

function toWire(one: typeof anyEvent extends fc.Arbitrary<infer T> ? T : never): Record<string, unknown> {
  const name = (key: number) => ({ source: key % 2 === 0 ? 'desk' : 'lab', id: `e${key}` })
  const instant = new Date(
    START + one.atDays * DAY + one.key * 3_600_000 + (one.isFar ? -57 * DAY : 0),
  ).toISOString()
  const at =
    one.form === 'instant' ? instant : one.form === 'date' ? instant.slice(0, 10) : instant.slice(0, 19)
  const other = one.corrects === null ? null : name(one.corrects)
  return {
    ...name(one.key),
    kind: one.kind,
    sample: one.sample === null ? null : KITS[one.sample],
    at,
    place: one.place,
    service: one.waybill === null ? null : 'road',
    waybill: one.waybill,
    product: one.product,
    corrects: other && `${other.source}/${other.id}`,
    facts: one.kind === 'extended' ? { limit: 'cut to chamber', until: '2026-11-05' } : null,
  }
}

/** Says the step to the store; what it refuses changes nothing. */
async function take(
  step: typeof anyStep extends fc.Arbitrary<infer T> ? T : never,
  choice: AnyRegister,
  now: number,
) {
  if (step.kind === 'register') {
    const { document, problems } = parseRegister(toDocument(choice, now))
    if (!document) throw new Error(JSON.stringify(problems))
    await applyRegister(database.app, document, now)
  } else if (step.kind === 'events') {
    const read = wire(...step.events.map(toWire))
    await acceptEvents(database.app, read, step.reporting, now)
  }
  await deriveDueSamples(database.app, now)
}

test('what is derived step by step, as register, events and time move on and back, is what a rebuild derives', async () => {
  await fc.assert(
    fc.asyncProperty(
      anyRegister,
      fc.array(anyStep, { minLength: 3, maxLength: 12 }),
      async (first, steps) => {
        await clearLedger(database.owner)
        let [now, choice] = [START, first]
        for (const step of [{ kind: 'register' as const, changes: first }, ...steps]) {
          if (step.kind === 'time') now += step.days * DAY
          if (step.kind === 'register') choice = { ...choice, holdsFromDays: undefined, ...step.changes }
          await take(step, choice, now)
          const derived = await derivedText(database.owner)
          await rebuild(database.app, now)
          expect(derived).toEqual(await derivedText(database.owner))
          now += DAY / 2
        }
      },
    ),
    { numRuns: chooseUsualOrLong({ usual: 8, long: 25 }) },
  )
}, 240_000)
