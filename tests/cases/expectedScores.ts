import { deduplicateEvents, deriveSamples } from '@/lib/custody/assess'
import type { ReadEvent } from '@/lib/custody/event'
import type { Kit, Register } from '@/lib/custody/register'
import type { SampleWithEvents } from '@/lib/custody/sample'
import { getOpenStanding, type Standing } from '@/lib/hold/standing'
import { buildTransitModel } from '@/lib/lane/model/transitModel'
import { getLanePlaces } from '@/lib/store/ledger/lanePlaces'
import { buildJourney, computeKnownAt, type KnownAt } from '@/lib/store/projection/buildJourney'
import { type Score, scoreSample } from '@/lib/store/projection/scoreSample'

/** A sample as the pure library has it, with what can be forecast of it. */
export interface ScoredSample {
  sample: SampleWithEvents
  score: Score | null
  standing: Standing
}

/** Every sample of a set of events that came to us at `acceptedAt`, scored at `now` (ms UTC) by the pure library alone. */
export function expectedScores(
  {
    events,
    kits,
    register,
  }: { events: readonly ReadEvent[]; kits: ReadonlyMap<string, Kit>; register: Register },
  acceptedAt: number,
  now: number,
): ScoredSample[] {
  const once = deduplicateEvents(events).events
  const knownAt = computeKnownAt(once.map((event) => ({ ...event, acceptedAt })))
  return scoredSamples(deriveSamples(once, kits, register, now), knownAt, register, now)
}

/** Samples scored at `now` (ms UTC) by the record of all of them. */
export function scoredSamples(
  samples: readonly SampleWithEvents[],
  knownAt: KnownAt,
  register: Register,
  now: number,
): ScoredSample[] {
  const journeys = samples.map((sample) => buildJourney(sample, knownAt))
  const record = buildTransitModel(
    journeys.filter((_, index) => samples[index]?.history.stage != null),
    getLanePlaces(register),
    now,
  )
  return samples.map((sample, index) => {
    const journey = journeys[index] as (typeof journeys)[number]
    const { clocks, standingTimes, protocol, settled } = sample
    const score =
      settled === null
        ? scoreSample({ journey, clocks }, register.getThresholds(protocol), record, now)
        : null
    const { tightAt, atRiskAt } = score ?? standingTimes
    return {
      sample,
      score,
      standing: settled ?? getOpenStanding({ ...standingTimes, tightAt, atRiskAt }, now),
    }
  })
}
