import fc from 'fast-check'
import { EVENT_KINDS, type EventKind, type ReadEvent } from '@/lib/custody/event'
import { MILESTONES } from '@/lib/hold/milestone'
import { readWireEvent } from '@/lib/intake/formats/wireEvent'
import { KIT, register, registerWithLimits, SECOND, SPARE } from './desk'

/** The desk's register with a least time and a limit that cannot be extended, for random reports. */
export const REPORTED_REGISTER = registerWithLimits({
  'dock to chamber': { atLeast: 1 },
  'cut to carrier': { extendable: false },
})

/** Milestones twice as often as other kinds. */
const ANY_KIND: EventKind[] = [...MILESTONES, ...EVENT_KINDS]

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

/** Random reports of three kits: consignments, corrections and loops, endings, extensions. */
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
    }),
    { maxLength: 14 },
  )
  .map((reports) =>
    reports.flatMap(({ time, kind, sample, waybill, corrects, product, limit }, index) => {
      const read = readWireEvent(
        {
          source: index % 2 === 0 ? 'desk' : 'lab',
          id: `e${index}`,
          kind,
          sample,
          service: waybill === null ? null : 'air',
          waybill,
          product: kind === 'collected' ? product : null,
          corrects: corrects === null ? null : `${corrects % 2 === 0 ? 'desk' : 'lab'}/e${corrects}`,
          facts: kind === 'extended' ? { limit, until: '2026-11-20T12:00:00Z' } : null,
          ...time,
        },
        (place) => register.getZone(place),
      )
      return 'event' in read ? [read.event] : []
    }),
  )
