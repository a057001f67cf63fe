import { addOpenDays } from '@/lib/hold/calendar'
import { toLocalDay } from '@/lib/hold/zone'
import { fitHazards } from '@/lib/lane/model/fit'
import type { Journey } from '@/lib/lane/model/journey'
import type { Observation } from '@/lib/lane/model/observation'
import { simulatedProgramme } from './programme'
import type { TrueLane } from './truth'

/** Steps at which a lane's intervals are compared with the truth. */
const STEPS = [1, 2, 3, 4, 5, 6, 7, 8]

/**
 * Whether the 90 % interval contains the true chance of not having arrived, for each lane and step of a seed's
 * programme.
 */
export function curveIntervals(seed: number): boolean[] {
  const { subjects, findLane, now } = simulatedProgramme(seed)
  const lanes = new Set<TrueLane>()
  const consignments = new Map<string | null, Observation>()
  for (const { journey } of subjects) {
    lanes.add(findLane(journey))
    consignments.set(journey.consignment, toObservation(journey, findLane(journey)))
  }
  const fit = fitHazards([...consignments.values()], { referenceAt: now, halfLifeDays: null })
  return [...lanes].flatMap((lane) =>
    STEPS.map((step) => {
      const arrived = lane.transit.filter(({ value }) => value <= step)
      const truth = 1 - arrived.reduce((sum, { chance }) => sum + chance, 0)
      const [low, high] = fit.interval(listGroupKeys(lane), step)
      return low <= truth && truth <= high
    }),
  )
}

function listGroupKeys({ plant, laboratory, service }: TrueLane): string[] {
  return [`${plant} ${laboratory.code} ${service}`, service]
}

/** A consignment's transit, with open days counted independently of lib/lane; Infinity if it never arrived. */
function toObservation({ reports }: Journey, lane: TrueLane): Observation {
  const at = (name: string) => reports.find(({ milestone }) => milestone === name)?.at
  const startedAt = at('dispatched') as number
  const receivedAt = at('received')
  const { calendar } = lane.laboratory
  let steps = receivedAt === undefined ? Number.POSITIVE_INFINITY : 0
  if (receivedAt !== undefined)
    for (
      let day = toLocalDay(startedAt, lane.plantZone);
      day < toLocalDay(receivedAt, calendar.zone);
      steps += 1
    )
      day = addOpenDays(day, 1, calendar)
  return { levels: listGroupKeys(lane), startedAt, steps, hasArrived: receivedAt !== undefined, weight: 1 }
}
