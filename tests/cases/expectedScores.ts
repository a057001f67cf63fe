import { samplesOf, withoutRepetitions } from '@/lib/custody/assess'
import type { ReadEvent } from '@/lib/custody/event'
import type { Kit, Register } from '@/lib/custody/register'
import type { Sample } from '@/lib/custody/sample'
import { openStanding, type Standing } from '@/lib/hold/standing'
import { recordOf } from '@/lib/lane/model/record'
import { placesOf } from '@/lib/store/ledger/placesOf'
import { journeyOf, type KnownAt, knownAtOf } from '@/lib/store/projection/journeyOf'
import { type Score, scoreOf } from '@/lib/store/projection/scoreOf'

/** A sample as the pure library has it, with what can be forecast of it. */
export interface ScoredSample {
  sample: Sample
  score: Score | null
  standing: Standing
}

/** Every sample of a set of events that came to us at `receivedAt`, scored at `now` (ms UTC) by the pure library alone. */
export function expectedScores(
  {
    events,
    kits,
    register,
  }: { events: readonly ReadEvent[]; kits: ReadonlyMap<string, Kit>; register: Register },
  receivedAt: number,
  now: number,
): ScoredSample[] {
  const once = withoutRepetitions(events).events
  const knownAt = knownAtOf(once.map((event) => ({ ...event, receivedAt })))
  return scoredSamples(samplesOf(once, kits, register, now), knownAt, register, now)
}

/** Samples scored at `now` (ms UTC) by the record of all of them. */
export function scoredSamples(
  samples: readonly Sample[],
  knownAt: KnownAt,
  register: Register,
  now: number,
): ScoredSample[] {
  const journeys = samples.map((sample) => journeyOf(sample, knownAt))
  const record = recordOf(
    journeys.filter((_, index) => samples[index]?.history.stage != null),
    placesOf(register),
    now,
  )
  return samples.map((sample, index) => {
    const journey = journeys[index] as (typeof journeys)[number]
    const { clocks, turns, protocol, settled } = sample
    const score =
      settled === null ? scoreOf({ journey, clocks }, register.thresholdsOf(protocol), record, now) : null
    const { tightAt, atRiskAt } = score ?? turns
    return { sample, score, standing: settled ?? openStanding({ ...turns, tightAt, atRiskAt }, now) }
  })
}
