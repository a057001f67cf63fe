import { samplesOf } from '@/lib/custody/assess'
import { issueKitCode } from '@/lib/custody/kitCode'
import { entriesOf, kitOf, Register } from '@/lib/custody/register'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { readEvents } from '@/lib/intake/formats/readEvents'
import type { Journey } from '@/lib/lane/model/journey'
import { type LaneRecord, recordOf } from '@/lib/lane/model/record'
import { type LifeSoFar, lifeAsKnown } from '@/lib/lane/model/turnaround'
import { placesOf } from '@/lib/store/ledger/placesOf'
import { journeyOf, knownAtOf } from '@/lib/store/projection/journeyOf'
import { minimalStandard } from '@/tests/bench/manyEvents'
import { checkedRegister } from '@/tests/cases/smallProgramme'

const DAY = 86_400_000
const WEEK = ['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'] as const
const open = Object.fromEntries(WEEK.map((day) => [day, ['00:00-24:00']]))

/** One lane of the programme and how many days each of its shipments took, the first sent first; null: still under way. */
export interface LaneHistory {
  plant: string
  laboratory: string
  service: string
  days: readonly (number | null)[]
}

/**
 * A programme whose laboratories are open every day, so that open days are days: every lane sends a shipment a day, the
 * last one the day before that of `now` (ms UTC, in its afternoon). Each plant has its own maker unless it is named in `makers`.
 */
export function laneProgramme(
  lanes: readonly LaneHistory[],
  now: number,
  makers: Record<string, string> = {},
): { register: RegisterDocument; events: Record<string, unknown>[] } {
  const random = minimalStandard(811)
  const codes = (key: 'plant' | 'laboratory' | 'service') => [...new Set(lanes.map((lane) => lane[key]))]
  const at = (instant: number) => new Date(instant).toISOString()
  const sent = lanes.flatMap(({ days, ...lane }) =>
    days.map((took, index) => {
      const dispatchedAt = Math.floor(now / DAY) * DAY + 10 * 3_600_000 - (days.length - index) * DAY
      return { ...lane, took, dispatchedAt, code: issueKitCode(random) }
    }),
  )
  const register = checkedRegister({
    laboratories: codes('laboratory').map((code) => ({
      code,
      name: `Laboratory ${code}`,
      zone: 'UTC',
      receiving: open,
      closed: [],
    })),
    plants: codes('plant').map((code) => ({
      code,
      name: `Plant ${code}`,
      zone: 'UTC',
      maker: makers[code] ?? `maker of ${code}`,
    })),
    services: codes('service').map((code) => ({ code, name: `Service ${code}` })),
    products: codes('plant').map((code) => ({
      code: `F ${code}`,
      plant: code,
      name: 'Felt',
      protocol: 'TEN',
    })),
    pickups: [],
    kits: sent.map(({ code, plant, laboratory, service, dispatchedAt }) => ({
      code,
      plant,
      laboratory,
      service,
      product: `F ${plant}`,
      issuedAt: at(dispatchedAt - 3 * DAY),
    })),
  })
  const events = sent.flatMap(({ code: sample, service, took, dispatchedAt }) => {
    const event = (kind: string, instant: number) => ({
      source: 'desk',
      id: `${sample} ${kind}`,
      sample,
      kind,
      at: at(instant),
    })
    return [
      event('collected', dispatchedAt - 3_600_000),
      { ...event('dispatched', dispatchedAt), service, waybill: `W ${sample}` },
      ...(took === null || dispatchedAt + took * DAY > now
        ? []
        : [event('received', dispatchedAt + took * DAY)]),
    ]
  })
  return { register, events }
}

/** What the pure library makes of the same register and events, with no database; all of it came to us at `now`. */
export function pureRecord(
  { register: document, events }: ReturnType<typeof laneProgramme>,
  now: number,
): { record: LaneRecord; journeys: Journey[]; lives: LifeSoFar[] } {
  const register = new Register(entriesOf(document, Number.NEGATIVE_INFINITY))
  const items = readEvents(JSON.stringify(events), 'json', (code) => register.zoneOfPlace(code))
  const read = items.flatMap(({ event }) => event ?? []).map((event) => ({ ...event, receivedAt: now }))
  const kits = new Map(document.kits.map((content) => [content.code, kitOf(content)]))
  const knownAt = knownAtOf(read)
  const journeys = samplesOf(read, kits, register, now).map((sample) => journeyOf(sample, knownAt))
  return {
    record: recordOf(journeys, placesOf(register), now),
    journeys,
    lives: journeys.map((journey) => lifeAsKnown(journey, now)),
  }
}
