import fc from 'fast-check'
import { EVENT_KINDS, type EventKind } from '@/lib/custody/event'
import { RULINGS } from '@/lib/custody/finding'
import { generateKitCode } from '@/lib/custody/kitCode'
import { parseRegister } from '@/lib/custody/parseRegister'
import { PURPOSES, type RegisterDocument } from '@/lib/custody/registerDocument'
import { MILESTONES } from '@/lib/hold/milestone'
import { makeRandom } from '@/tests/bench/manyEvents'
import { smallRegister } from '@/tests/cases/smallProgramme'

export const NOW = Date.parse('2026-10-20T12:00:00Z')
const HOUR = 3_600_000

/** Kits of the first plant, then of the second. */
const random = makeRandom(414)
const CODES = Array.from({ length: 9 }, () => generateKitCode(random))

export interface JudgedProgramme {
  document: RegisterDocument
  events: Record<string, unknown>[]
}

const anyKit = fc.record({
  isSpare: fc.boolean(),
  purpose: fc.constantFrom(...PURPOSES, 'first', 'first'),
  posted: fc.constantFrom(undefined, undefined, 'not yet' as const),
  replaces: fc.option(fc.nat(CODES.length - 1), { freq: 5 }),
  issuedDays: fc.integer({ min: 2, max: 50 }),
})

/** Milestones come in their order and some of them early, so that samples get far. */
const anyLife = fc.record({
  stages: fc.integer({ min: 0, max: MILESTONES.length }),
  startHours: fc.integer({ min: -40 * 24, max: 0 }),
  gapHours: fc.array(fc.integer({ min: -3, max: 90 }), {
    minLength: MILESTONES.length,
    maxLength: MILESTONES.length,
  }),
  skipped: fc.subarray([...MILESTONES]),
  isSkipping: fc.boolean(),
  isDateOnly: fc.nat(7),
  condition: fc.record(
    {
      seal: fc.constantFrom('intact', 'broken', 'missing'),
      packaging: fc.constantFrom('sound', 'damaged'),
      form: fc.constantFrom('complete', 'missing'),
      temperature: fc.constantFrom(20, 61),
    },
    { requiredKeys: [] },
  ),
})

const OTHERS: EventKind[] = EVENT_KINDS.filter(
  (kind) => !(MILESTONES as readonly string[]).includes(kind) && kind !== 'withdrawn',
)
const anyOther = fc.record({
  sample: fc.nat(CODES.length - 1),
  kind: fc.constantFrom(...OTHERS, 'deviation' as const, 'ruling' as const, 'replaced by' as const),
  hours: fc.integer({ min: -20 * 24, max: 4 * 24 }),
  on: fc.nat(20),
  ruling: fc.constantFrom(...RULINGS),
  kit: fc.nat(CODES.length - 1),
})

function makeDocument(kits: readonly (typeof anyKit extends fc.Arbitrary<infer T> ? T : never)[]) {
  const { protocols } = smallRegister() as { protocols: { limits: Record<string, unknown>[] }[] }
  const [protocol] = protocols
  const more = [
    { name: 'dock to chamber', from: 'received', to: 'loaded', amount: 3, unit: 'working days', atLeast: 1 },
    {
      name: 'cut to carrier',
      from: 'collected',
      to: 'dispatched',
      amount: 48,
      unit: 'hours',
      extendable: false,
    },
    {
      name: 'cut to report',
      from: 'collected',
      to: 'reported',
      amount: 4,
      unit: 'weeks',
      counting: 'elapsed',
    },
  ]
  const { document, problems } = parseRegister(
    smallRegister({
      protocols: [
        {
          ...protocol,
          limits: [...(protocol?.limits ?? []), ...more],
          condition: { temperature: { min: 5, max: 40 } },
        },
      ],
      duties: [
        {
          code: 'YEARLY',
          product: 'FELT',
          laboratory: 'LAB',
          service: 'road',
          everyMonths: 12,
          first: '2026-11-20',
          windowDays: 90,
          kitDays: 3,
          loadDays: 1,
          testDays: 10,
          reportDays: 5,
        },
      ],
      kits: kits.map(({ isSpare, purpose, posted, replaces, issuedDays }, index) => {
        const plant = index < 6 ? 'PL1' : 'PL2'
        return {
          code: CODES[index],
          ...(isSpare ? {} : { product: plant === 'PL1' ? 'FELT' : 'CORK' }),
          plant,
          laboratory: 'LAB',
          service: 'road',
          purpose: purpose === 're-collection' && replaces === null ? 'first' : purpose,
          ...(posted && { posted }),
          ...(purpose === 're-collection' && replaces !== null && replaces !== index
            ? { replaces: CODES[replaces] }
            : {}),
          issuedAt: new Date(NOW - issuedDays * 24 * HOUR).toISOString(),
        }
      }),
    }),
  )
  if (!document) throw new Error(JSON.stringify(problems))
  return document
}

/** Programmes of nine kits at two plants, with lives that get far and with everything that can be found, ruled and replaced. */
export const anyJudgedProgramme: fc.Arbitrary<JudgedProgramme> = fc
  .record({
    kits: fc.array(anyKit, { minLength: CODES.length, maxLength: CODES.length }),
    lives: fc.array(anyLife, { minLength: CODES.length, maxLength: CODES.length }),
    others: fc.array(anyOther, { maxLength: 14 }),
  })
  .map(({ kits, lives, others }) => ({
    document: makeDocument(kits),
    events: [
      ...lives.flatMap((life, index) => makeLife(life, index)),
      ...others.map((other, index) => makeOther(other, index)),
    ],
  }))

function makeLife(life: typeof anyLife extends fc.Arbitrary<infer T> ? T : never, index: number) {
  let at = NOW + life.startHours * HOUR
  return MILESTONES.slice(0, life.stages).flatMap((kind, step) => {
    at += (life.gapHours[step] ?? 0) * HOUR
    if (life.isSkipping && life.skipped.includes(kind)) return []
    const instant = new Date(at).toISOString()
    return [
      {
        source: 'desk',
        id: `${index} ${kind}`,
        sample: CODES[index],
        kind,
        at: life.isDateOnly === step ? instant.slice(0, 10) : instant,
        place: step < 4 ? (index < 6 ? 'PL1' : 'PL2') : 'LAB',
        ...(kind === 'dispatched' ? { service: 'road' } : {}),
        ...(kind === 'collected' ? { product: index < 6 ? 'FELT' : 'CORK' } : {}),
        ...(kind === 'received' ? { facts: { condition: life.condition } } : {}),
      },
    ]
  })
}

function makeOther(
  { sample, kind, hours, on, ruling, kit }: typeof anyOther extends fc.Arbitrary<infer T> ? T : never,
  index: number,
) {
  const keys = [
    `desk/other ${on}`,
    `desk/${sample} received#seal`,
    `desk/${sample} received#temperature`,
    'dock to chamber#early',
    'cut to chamber#unproven',
  ]
  const facts: Partial<Record<EventKind, Record<string, unknown>>> = {
    deviation: { what: 'bag torn' },
    ruling: { on: on % 2 === 0 ? keys : keys[on % keys.length], ruling, reason: 'looked at' },
    extended: { limit: 'cut to chamber', until: '2026-11-10', approvedBy: 'A', reason: 'B' },
    'replaced by': { kit: CODES[kit] },
    held: { by: 'customs', until: '2026-10-25' },
  }
  return {
    source: 'desk',
    id: `other ${index}`,
    sample: CODES[sample],
    kind,
    at: new Date(NOW + hours * HOUR).toISOString(),
    place: 'LAB',
    ...(facts[kind] && { facts: facts[kind] }),
  }
}
