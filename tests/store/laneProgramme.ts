import { deriveSamples } from '@/lib/custody/assess'
import { generateKitCode } from '@/lib/custody/kitCode'
import { listEntries, Register, toKit } from '@/lib/custody/register'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { readEvents } from '@/lib/intake/formats/readEvents'
import type { Journey } from '@/lib/lane/model/journey'
import { buildTransitModel, type TransitModel } from '@/lib/lane/model/transitModel'
import { findLifeAt, type LifeSoFar } from '@/lib/lane/model/turnaround'
import { getLanePlaces } from '@/lib/store/ledger/lanePlaces'
import { buildJourney, computeKnownAt } from '@/lib/store/projection/buildJourney'
import { makeRandom } from '@/tests/bench/manyEvents'
import { checkedRegister } from '@/tests/cases/smallProgramme'

const DAY = 86_400_000
const WEEK = ['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'] as const
const open = Object.fromEntries(WEEK.map((day) => [day, ['00:00-24:00']]))

/** One lane and the days that each of its shipments took, the first sent first; null: still under way. */
export interface LaneHistory {
  plant: string
  laboratory: string
  service: string
  days: readonly (number | null)[]
}

/**
 * A programme whose laboratories are open every day, so that open days are days. Every lane sends a shipment a
 * day, the last one on the day before that of `now` (ms UTC, in its afternoon). Each plant has a maker of its
 * own unless `makers` names one.
 */
export function laneProgramme(
  lanes: readonly LaneHistory[],
  now: number,
  makers: Record<string, string> = {},
): { register: RegisterDocument; events: Record<string, unknown>[] } {
  const random = makeRandom(811)
  const codes = (key: 'plant' | 'laboratory' | 'service') => [...new Set(lanes.map((lane) => lane[key]))]
  const at = (instant: number) => new Date(instant).toISOString()
  const sent = lanes.flatMap(({ days, ...lane }) =>
    days.map((took, index) => {
      const dispatchedAt = Math.floor(now / DAY) * DAY + 10 * 3_600_000 - (days.length - index) * DAY
      return { ...lane, took, dispatchedAt, code: generateKitCode(random) }
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

/**
 * What the pure library computes from the same register and events without a database; everything was received
 * at `now`.
 */
export function buildPureModel(
  { register: document, events }: ReturnType<typeof laneProgramme>,
  now: number,
): { record: TransitModel; journeys: Journey[]; lives: LifeSoFar[] } {
  const register = new Register(listEntries(document, Number.NEGATIVE_INFINITY))
  const items = readEvents(JSON.stringify(events), 'json', (code) => register.getZone(code))
  const read = items.flatMap(({ event }) => event ?? []).map((event) => ({ ...event, acceptedAt: now }))
  const kits = new Map(document.kits.map((content) => [content.code, toKit(content)]))
  const knownAt = computeKnownAt(read)
  const journeys = deriveSamples(read, kits, register, now).map((sample) => buildJourney(sample, knownAt))
  return {
    record: buildTransitModel(journeys, getLanePlaces(register), now),
    journeys,
    lives: journeys.map((journey) => findLifeAt(journey, now)),
  }
}
