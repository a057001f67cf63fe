import type { ForecastStage } from '@/lib/lane/forecast/forecast'
import type { Evidence } from '@/lib/lane/model/fit'
import { stageKind } from '@/lib/lane/model/stage'
import type { Scope } from '@/lib/policy/scope'
import type { ScoredForecast } from '../../projection/scoreOf'

/** What a stage's estimate rests on, as far as it may be told: counts over other makers' shipments are null. */
export type ToldEvidence = Pick<Evidence, 'level' | 'borrowedShare'> & {
  [Count in 'arrivals' | 'consignments' | 'unfadedConsignments']: number | null
}

export type ToldForecast = Omit<ScoredForecast, 'stages'> & {
  stages: (Omit<ForecastStage, 'evidence'> & { evidence: ToldEvidence })[]
}

/**
 * A forecast as it may be told to a scope that sees the sample. A lane is estimated from shipments that its plant and
 * its laboratory both know of, and these may be counted; a plant's record holds what it sends to other laboratories, a
 * laboratory's what other makers send, and services and the pool of all hold both. How many these are is nobody's
 * business but of who sees everything, or all of that plant, or all that comes to that laboratory.
 */
export function toldForecast(
  forecast: ScoredForecast,
  { plant, laboratory }: { plant: string; laboratory: string },
  scope: Scope,
): ToldForecast {
  const mayCount = ({ stage, levels, evidence }: ForecastStage) => {
    if (scope === 'all') return true
    if (evidence.level !== levels[0]) return false
    const kind = stageKind(stage)
    if (kind === 'plant') return scope.plants.includes(plant)
    return kind === 'transit' || scope.laboratories.includes(laboratory)
  }
  const stages = forecast.stages.map((one) => {
    const { level, borrowedShare, arrivals, consignments, unfadedConsignments } = one.evidence
    const counts = mayCount(one)
      ? { arrivals, consignments, unfadedConsignments }
      : { arrivals: null, consignments: null, unfadedConsignments: null }
    return { ...one, evidence: { level, borrowedShare, ...counts } }
  })
  return { ...forecast, stages }
}
