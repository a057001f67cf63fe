import { deduplicateEvents } from '@/lib/custody/assess'
import type { EventKind, ReadEvent } from '@/lib/custody/event'
import { checkCharacter } from '@/lib/custody/kitCode'
import { parseRegister } from '@/lib/custody/parseRegister'
import { placeEvents } from '@/lib/custody/placing'
import { type Kit, listEntries, Register, type RegisterEntry, toKit } from '@/lib/custody/register'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { deriveSample, type Sample, type SampleWithEvents } from '@/lib/custody/sample'
import { getClockState } from '@/lib/hold/clock'
import type { LimitFields } from '@/lib/hold/limit'
import { readWireEvent } from '@/lib/intake/formats/wireEvent'

export const NOW = Date.parse('2026-11-10T12:00:00Z')
export const ALWAYS = Number.NEGATIVE_INFINITY

/** The kit code that begins with these seven characters. */
export const code = (seven: string) => seven + checkCharacter(seven)
export const KIT = code('AAAA222')
export const SECOND = code('BBBB333')
export const SPARE = code('SSSS444')

export const ms = (text: string) => Date.parse(text)
export const iso = (at: number | null | undefined) =>
  at === null || at === undefined ? null : new Date(at).toISOString()

const workweek = {
  mon: ['08:00-16:30'],
  tue: ['08:00-16:30'],
  wed: ['08:00-16:30'],
  thu: ['08:00-16:30'],
  fri: ['08:00-16:30'],
}

/** A register document: plants in Lisbon and Berlin, laboratories in New York and Chicago. */
export function registerInput() {
  return {
    laboratories: [
      { code: 'NORTH', name: 'North', zone: 'America/New_York', receiving: workweek, closed: ['2026-11-26'] },
      { code: 'SOUTH', name: 'South', zone: 'America/Chicago', receiving: workweek, closed: [] },
    ],
    plants: [
      { code: 'CORK', name: 'Cork', zone: 'Europe/Lisbon' },
      { code: 'FELT', name: 'Felt', zone: 'Europe/Berlin' },
    ],
    services: [
      { code: 'air', name: 'Air' },
      { code: 'ground', name: 'Ground' },
    ],
    pickups: [{ plant: 'CORK', service: 'air', hours: { mon: '16:30', fri: '14:00' } }],
    protocols: [
      {
        code: 'P',
        name: 'Tiles',
        limits: [
          { name: 'cut to carrier', from: 'collected', to: 'dispatched', amount: 24, unit: 'hours' },
          {
            name: 'cut to chamber',
            from: 'collected',
            to: 'loaded',
            amount: 10,
            unit: 'days',
            counting: 'calendar',
          },
          { name: 'dock to chamber', from: 'received', to: 'loaded', amount: 3, unit: 'working days' },
          {
            name: 'in transit',
            from: 'dispatched',
            to: 'received',
            amount: 5,
            unit: 'days',
            counting: 'elapsed',
          },
        ],
      },
      {
        code: 'Q',
        name: 'Panels',
        limits: [
          {
            name: 'made to report',
            from: 'produced',
            to: 'reported',
            amount: 1,
            unit: 'months',
            zone: 'plant',
          },
        ],
      },
    ],
    products: [
      { code: 'TILE', name: 'Tile', plant: 'CORK', protocol: 'P' },
      { code: 'PANEL', name: 'Panel', plant: 'CORK', protocol: 'Q' },
    ],
    families: [{ code: 'ALL', name: 'All of them', members: ['TILE', 'PANEL'], tested: 'TILE' }],
    certificates: [{ code: 'C-1', family: 'ALL', issued: '2025-12-01', expires: '2026-11-30' }],
    duties: [
      {
        code: 'YEARLY',
        family: 'ALL',
        laboratory: 'NORTH',
        service: 'air',
        first: '2025-11-30',
        everyMonths: 12,
        windowDays: 90,
        kitDays: 4,
        loadDays: 1,
        testDays: 14,
        reportDays: 5,
      },
    ],
    shutdowns: [{ plant: 'CORK', from: '2026-12-24', to: '2027-01-03' }],
    kits: [KIT, SECOND, SPARE].map((one) => ({
      code: one,
      ...(one === SPARE ? {} : { product: 'TILE' }),
      plant: 'CORK',
      laboratory: 'NORTH',
      issuedAt: '2026-07-01T12:00:00Z',
    })),
  }
}

export function checkedRegister(input: unknown = registerInput()): RegisterDocument {
  const { document, problems } = parseRegister(input)
  if (!document) throw new Error(JSON.stringify(problems))
  return document
}

const document = checkedRegister()
export const register = new Register(listEntries(document, ALWAYS))
export const kits = new Map(document.kits.map((content) => [content.code, toKit(content)]))

/** The register with fields of its limits changed, by the limit's name. */
export function registerWithLimits(changes: Record<string, Partial<LimitFields>>): Register {
  const input = registerInput()
  const protocols = input.protocols.map((one) => ({
    ...one,
    limits: one.limits.map((limit) => ({ ...limit, ...changes[limit.name] })),
  }))
  return new Register(listEntries(checkedRegister({ ...input, protocols }), ALWAYS))
}

/** The register with more versions of its entries. */
export const registerWith = (...entries: RegisterEntry[]) =>
  new Register([...listEntries(document, ALWAYS), ...entries])

/** An event of the sample KIT by the desk, as read by the intake. `more` overrides or adds keys of the wire. */
export function event(kind: EventKind, at: string, more: Record<string, unknown> = {}): ReadEvent {
  const wire = { source: 'desk', id: `${kind} at ${at}`, sample: KIT, kind, at, ...more }
  const read = readWireEvent(wire, (place) => register.getZone(place))
  if (!('event' in read)) throw new Error(JSON.stringify(read.faults))
  return read.event
}

/** The same for a consignment. */
export const consignmentEvent = (kind: EventKind, at: string, more: Record<string, unknown> = {}) =>
  event(kind, at, { sample: null, service: 'air', waybill: 'W1', ...more })

interface DeriveOptions {
  now?: number
  register?: Register
  /** A kit code. */
  of?: string
}

/** Derives one sample from a set of events. */
export function deriveKit(
  events: readonly ReadEvent[],
  { now = NOW, of = KIT, ...more }: DeriveOptions = {},
): SampleWithEvents {
  const { bySample } = placeEvents(deduplicateEvents(events).events, (one) => kits.has(one), now)
  return deriveSample(kits.get(of) as Kit, bySample.get(of) ?? [], more.register ?? register, now)
}

export const listUnplaced = (events: readonly ReadEvent[], now = NOW) =>
  placeEvents(events, (one) => kits.has(one), now).unplaced.map(({ id }) => id)

export function findClock(sample: Sample, limit: string) {
  const clock = sample.clocks.find((one) => one.limit.name === limit)
  if (!clock) throw new Error(`No clock "${limit}"`)
  return clock
}

export const getState = (sample: Sample, limit: string, now = NOW) =>
  getClockState(findClock(sample, limit), now)

/** Null if none counts. */
export const readMilestone = (
  sample: Sample,
  milestone: 'collected' | 'dispatched' | 'received' | 'loaded',
) => iso(sample.history.milestones.get(milestone)?.earliestAt)

export const listFlags = (sample: Sample) => sample.flags.map(({ kind }) => kind)
