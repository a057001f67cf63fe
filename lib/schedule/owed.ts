import type { DutyContent } from '@/lib/custody/owedContents'
import { pickupsOf } from '@/lib/custody/pickupsOf'
import type { Register } from '@/lib/custody/register'
import type { Sample } from '@/lib/custody/sample'
import type { Calendar } from '@/lib/hold/calendar'
import { isPickupDay } from '@/lib/hold/pickup'
import { localDay } from '@/lib/hold/zone'
import type { Act, Occurrence } from './act'
import { DutySamples } from './dutySamples'
import { latestCut } from './lastCut'
import { Occurrences } from './occurrences'
import type { Pace } from './pace'
import { failureOf, isDone } from './progress'
import { testedFor } from './testedProduct'
import { type Parties, workBack } from './workBack'

/** What is known when it is asked what is owed. */
export interface Programme {
  register: Register
  samples: readonly Sample[]
  pace: Pace
  /** The programme office's zone and working days. */
  office: Calendar
  /** ms UTC. */
  now: number
  /** The plants whose duties are asked; those of all where it is absent. */
  plants?: readonly string[] | null
}

/** One test that is owed, with the dates by which each act of it is due. */
export interface Owed extends Occurrence {
  /** The product that is cut, for itself or for its family. */
  product: string
  family: string | null
  plant: string
  laboratory: string
  service: string | null
  /** Without those before receipt where the lane's transit is not known. */
  acts: (Act & { isDone: boolean })[]
  /** The cut as late as it can be if the sample travels as fast as half do; null where the lane's transit is not known. */
  lastCut: Act | null
  /** The kit on which the test stands: the last issued of those that count and need not be cut again. */
  kit: string | null
  /** Every kit that counts for it, by issue. */
  kits: string[]
}

/** The longest look ahead that is taken, in days. */
const FURTHEST = 3660

/**
 * The tests that are owed at `now`, by due day: of each duty the one whose window is open, and those whose first act
 * is due within `aheadDays`. A test that is reported on a sample that holds is owed no more, nor is one whose
 * successor's window is open.
 */
export function owedOf(
  programme: Programme,
  aheadDays: number,
  of = new DutySamples(programme.samples, programme.register),
): Owed[] {
  const { register, now } = programme
  return [...register.duties.values()]
    .flatMap((duty) => {
      const tested = testedFor(duty, register)
      if (tested === null || (programme.plants && !programme.plants.includes(tested.plant))) return []
      const { product, plant, zone } = tested
      const parties = partiesOf(duty, plant, programme)
      const occurrences = new Occurrences(duty, register)
      const today = localDay(now, zone)
      const lane = { plant, laboratory: duty.laboratory, service: duty.service ?? null }
      const [transit, half] = [programme.pace.transitNinety(lane), programme.pace.transitHalf(lane)]
      const last = today + Math.min(aheadDays, FURTHEST)
      const found: Owed[] = []
      for (let number = occurrences.openOn(today)?.number ?? 0; ; number += 1) {
        const occurrence = occurrences.at(number)
        if (occurrence === null) return found
        const acts = workBack(duty, occurrence.dueDay, parties, transit)
        const isOpen = occurrence.opensDay <= today
        if (!isOpen && (acts[0] as Act).dueDay > last) return found
        const lastCut = latestCut(duty, occurrence.dueDay, parties, half)
        const owed = owedTest({ duty, product, plant, occurrence, acts, lastCut, of, programme })
        if (owed) found.push(owed)
      }
    })
    .sort((a, b) => a.dueDay - b.dueDay || (a.duty < b.duty ? -1 : 1))
}

interface TestFacts {
  duty: DutyContent
  product: string
  plant: string
  occurrence: Occurrence
  acts: Act[]
  lastCut: Act | null
  of: DutySamples
  programme: Programme
}

/** One test; null where it is reported on a sample that holds. */
function owedTest({
  duty,
  product,
  plant,
  occurrence,
  acts,
  lastCut,
  of,
  programme,
}: TestFacts): Owed | null {
  const { now, register } = programme
  const samples = of.of(occurrence)
  const sound = samples.filter(
    (sample) => failureOf(sample, now) === null && sample.history.ending === null && !isReplaced(sample),
  )
  if (sound.some((sample) => sample.history.milestones.has('reported'))) return null
  const sample = sound.at(-1)
  const zone = register.zoneOfPlace(plant) as string
  return {
    ...occurrence,
    product,
    family: duty.family ?? null,
    plant,
    laboratory: duty.laboratory,
    service: duty.service ?? null,
    acts: acts.map((act) => ({ ...act, isDone: sample !== undefined && isDone(sample, act.act, zone, now) })),
    lastCut,
    kit: sample?.kit.code ?? null,
    kits: samples.map(({ kit }) => kit.code),
  }
}

function isReplaced({ history }: Sample): boolean {
  return history.replacedBy !== null
}

/** Who takes part in a duty's tests, and when each of them works. */
export function partiesOf(duty: DutyContent, plant: string, { register, office }: Programme): Parties {
  const pickups = pickupsOf(register, plant, duty.service ?? null)
  return {
    programme: office,
    plant: { code: plant, calendar: register.workdaysOf(plant) },
    laboratory: { code: duty.laboratory, calendar: register.calendarOf(duty.laboratory) },
    isPickupDay: (day) => isPickupDay(pickups, day),
  }
}
