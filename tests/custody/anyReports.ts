import fc from 'fast-check'
import { EVENT_KINDS, type EventKind, type ReadEvent } from '@/lib/custody/event'
import { RULINGS } from '@/lib/custody/finding'
import { MILESTONES } from '@/lib/hold/milestone'
import { readWireEvent } from '@/lib/intake/formats/wireEvent'
import { KIT, register, registerWithLimits, SECOND, SPARE } from './desk'

/** The desk's register with a least time and a limit that cannot be extended, for random reports. */
export const REPORTED_REGISTER = registerWithLimits({
  'dock to chamber': { atLeast: 1 },
  'cut to carrier': { extendable: false },
})

/** Milestones twice as often as other kinds, and often what makes findings and what settles them. */
const ANY_KIND: EventKind[] = [
  ...MILESTONES,
  ...EVENT_KINDS,
  ...(['received', 'deviation', 'withdrawn', 'ruling', 'ruling'] as const),
]

/** Times in every form, around the end of summer time in Lisbon and New York, some in the future. */
export const anyTime = fc.oneof(
  fc
    .integer({ min: Date.parse('2026-10-15T00:00Z'), max: Date.parse('2026-11-14T00:00Z') })
    .map((at) => ({ at: new Date(at).toISOString() })),
  fc.record({
    at: fc.constantFrom(
      '2026-10-25T01:30:00',
      '2026-11-01T01:30:00',
      '2026-11-01',
      '2026-10-25',
      '2026-10-31',
      '2026-11-10',
    ),
    place: fc.constantFrom('CORK', 'NORTH', 'FELT'),
  }),
)

/** Some parts of a condition, right and wrong, so that the same fault is often told twice. */
const anyCondition = fc.record(
  {
    seal: fc.constantFrom('intact', 'broken', 'missing'),
    form: fc.constantFrom('complete', 'missing'),
    temperature: fc.constantFrom(20, 61),
  },
  { requiredKeys: [] },
)

const anyFault = fc.constantFrom('seal', 'form', 'temperature')

/** What can follow the key of an event in that of a finding. */
const anyFound = fc.constantFrom('', '', '#seal', '#form', '#temperature', '#arrived', '#taken back')

/** Random reports of three kits: consignments, corrections and loops, endings, extensions, faults and rulings. */
export const anyReports: fc.Arbitrary<ReadEvent[]> = fc
  .array(
    fc.record({
      time: anyTime,
      kind: fc.constantFrom(...ANY_KIND),
      sample: fc.constantFrom(KIT, KIT, SECOND, SPARE, null),
      waybill: fc.constantFrom('W1', 'w-1', 'W2', null),
      corrects: fc.option(fc.nat(13), { freq: 3 }),
      product: fc.constantFrom('TILE', 'PANEL', null, null),
      limit: fc.constantFrom('cut to chamber', 'in transit', 'cut to carrier'),
      condition: anyCondition,
      fault: fc.option(anyFault),
      on: fc.array(fc.tuple(fc.nat(13), anyFound), { maxLength: 6 }),
      ruling: fc.constantFrom(...RULINGS),
    }),
    { maxLength: 14 },
  )
  .map((reports) =>
    reports.flatMap((report, index) => {
      const { time, kind, sample, waybill, corrects, product, fault } = report
      const read = readWireEvent(
        {
          source: index % 2 === 0 ? 'desk' : 'lab',
          id: `e${index}`,
          kind,
          sample,
          service: waybill === null ? null : 'air',
          waybill,
          product: kind === 'collected' ? product : null,
          corrects:
            corrects === null
              ? null
              : formatKey(corrects) + (kind === 'withdrawn' && fault ? `#${fault}` : ''),
          facts: buildFacts(kind, report),
          ...time,
        },
        (place) => register.getZone(place),
      )
      return 'event' in read ? [read.event] : []
    }),
  )

const formatKey = (index: number) => `${index % 2 === 0 ? 'desk' : 'lab'}/e${index}`

interface AnyFacts {
  limit: string
  condition: object
  on: readonly [number, string][]
  ruling: string
}

function buildFacts(kind: EventKind, { limit, condition, on, ruling }: AnyFacts): object | null {
  if (kind === 'extended') return { limit, until: '2026-11-20T12:00:00Z' }
  if (kind === 'received') return { condition }
  if (kind === 'withdrawn') return { reason: 'a slip' }
  if (kind !== 'ruling') return null
  const keys = on.map(([index, found]) => formatKey(index) + found)
  const all = [...keys, 'in transit#unproven', 'cut to chamber#unproven', 'cut to carrier#unproven']
  return { on: keys.length === 1 ? keys[0] : all, ruling }
}
