import type { DutyContent } from '@/lib/custody/owedContents'
import { localDay } from '@/lib/hold/zone'
import { latestCut } from './lastCut'
import { Occurrences } from './occurrences'
import { type Owed, type Programme, partiesOf } from './owed'
import { testedFor } from './testedProduct'
import { workBack } from './workBack'

/**
 * The first test of a duty whose report is not due before today, worked back to its acts as if nothing had been done
 * for it, and the days (day numbers in the laboratory's zone) on which those after it are due, `more` of them. Null
 * where the programme's register lacks what the duty names, or where its only test was due before.
 */
export function nextTest(
  duty: DutyContent,
  programme: Omit<Programme, 'samples'>,
  more: number,
): { test: Owed; laterDays: number[] } | null {
  const { register, pace, now } = programme
  const tested = testedFor(duty, register)
  if (tested === null) return null
  const { product, plant, zone } = tested
  const occurrences = new Occurrences(duty, register)
  const today = localDay(now, zone)
  let next = occurrences.at(0)
  while (next !== null && next.dueDay < today) next = occurrences.at(next.number + 1)
  if (next === null) return null
  const { number, dueDay } = next
  const { laboratory, service = null, family = null } = duty
  const parties = partiesOf(duty, plant, { ...programme, samples: [] })
  const lane = { plant, laboratory, service }
  const transit = pace.transitNinety(lane)
  const lastCut = latestCut(duty, dueDay, parties, pace.transitHalf(lane))
  const acts = workBack(duty, dueDay, parties, transit).map((act) => ({ ...act, isDone: false }))
  const later = Array.from({ length: more }, (_, index) => occurrences.at(number + 1 + index))
  return {
    test: { ...next, product, family, plant, laboratory, service, acts, lastCut, kit: null, kits: [] },
    laterDays: later.flatMap((one) => (one === null ? [] : [one.dueDay])),
  }
}
