import type { Evidence } from '@/lib/lane/fit'
import type { ForecastStage } from '@/lib/lane/forecast'
import { stageKind } from '@/lib/lane/stage'
import type { Scope } from './scope'
import type { ScoredForecast } from './scoreOf'

/** What a stage's estimate rests on, as far as it may be told: counts over other makers' shipments are null. */
export type ToldEvidence = Pick<Evidence, 'level' | 'borrowedShare'> & {
  [Count in 'arrivals' | 'consignments' | 'unfadedConsignments']: number | null
}

export type ToldForecast = Omit<ScoredForecast, 'stages'> & {
  stages: (Omit<ForecastStage, 'evidence'> & { evidence: ToldEvidence })[]
}

/**
 * A forecast as it may be told to a scope that sees the sample. Lanes and plants are estimated from their maker's own
 * shipments, and these may be counted; services, laboratories and the pool of all hold other makers' as well, and how
 * many they ship is nobody's business but of who sees everything, or all that comes to the laboratory.
 */
export function toldForecast(forecast: ScoredForecast, laboratory: string, scope: Scope): ToldForecast {
  const seesLaboratory = scope === 'all' || scope.laboratories.includes(laboratory)
  const mayCount = ({ stage, levels, evidence }: ForecastStage) => {
    if (scope === 'all') return true
    if (evidence.level !== levels[0]) return false
    return stageKind(stage) === 'laboratory' ? seesLaboratory : true
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
