import type { EventKind, ReadEvent } from '@/lib/custody/event'
import { placeEvents } from '@/lib/custody/placing'
import { type Kit, listEntries, Register } from '@/lib/custody/register'
import { deriveSample } from '@/lib/custody/sample'
import { getWeekday } from '@/lib/hold/zone'
import { readWireEvent } from '@/lib/intake/formats/wireEvent'
import type { Pace, Programme } from '@/lib/schedule/owedTests'
import { ALWAYS, checkedRegister, code, ms, registerInput } from '../custody/desk'

/** The programme office works from Monday to Friday, in Paris. */
export const OFFICE = {
  zone: 'Europe/Paris',
  isOpen: (day: number) => getWeekday(day) !== 0 && getWeekday(day) !== 6,
}

/** In open days of the laboratory. */
export const PACE: Pace = {
  medianTransitDays: () => 2,
  p90TransitDays: () => 3,
  p95TransitDays: () => 4,
  p95LoadDays: () => 2,
  p95ReportDays: () => 30,
}

/** The desk's register with changes. The duty YEARLY is due first on 2025-11-30, then by 2026-11-30. */
export function makeRegister(changes: Record<string, unknown> = {}): Register {
  return new Register(
    listEntries(checkedRegister({ ...registerInput(), certificates: [], ...changes }), ALWAYS),
  )
}

/** A kit of the product TILE, which is tested for its family, from CORK to NORTH by air. */
export function kit(seven: string, changes: Partial<Kit> = {}): Kit {
  return {
    code: code(seven),
    plant: 'CORK',
    laboratory: 'NORTH',
    product: 'TILE',
    service: 'air',
    purpose: 'first',
    replaces: null,
    issuedAt: ms('2026-10-01T09:00:00Z'),
    posted: null,
    ...changes,
  }
}

export type EventInput = [kind: EventKind, at: string, more?: Record<string, unknown>]

/** A kit's events as the intake reads them. */
export function makeEvents(of: Kit, register: Register, said: readonly EventInput[]): ReadEvent[] {
  return said.map(([kind, at, more]) => {
    const wire = { source: 'desk', id: `${of.code} ${kind} ${at}`, sample: of.code, kind, at, ...more }
    const read = readWireEvent(wire, (place) => register.getZone(place))
    if (!('event' in read)) throw new Error(JSON.stringify(read.faults))
    return read.event
  })
}

/** A programme at `now` with these kits and their events. */
export function makeProgramme(
  now: string,
  said: readonly (readonly [Kit, readonly EventInput[]])[],
  { register = makeRegister(), pace = PACE }: { register?: Register; pace?: Pace } = {},
): Programme {
  const at = ms(now)
  const samples = said.map(([of, told]) => {
    const { bySample } = placeEvents(makeEvents(of, register, told), (one) => one === of.code, at)
    return deriveSample(of, bySample.get(of.code) ?? [], register, at)
  })
  return { register, samples, pace, office: OFFICE, now: at }
}
