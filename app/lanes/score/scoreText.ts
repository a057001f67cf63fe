import type { PlainRule } from '@/lib/lane/backtest/plainRules'
import type { Score } from '@/lib/lane/backtest/scoreboard'
import type { Translate } from '@/lib/messages/translate'

const RULES: Record<PlainRule, string> = {
  'share of all': 'the share late of all',
  'share of the lane': 'the lane’s own share late',
  'share of the lane, not yet': 'the lane’s share late of those as far on by the same day',
  'share of the service, not yet': 'the service’s share late of those as far on by the same day',
  'over the median': 'late for sure once it has taken longer than half of its lane',
}

/** A plain rule as a phrase. */
export const formatPlainRule = (t: Translate, rule: PlainRule) => RULES[rule]

/** A Brier score: four decimals tell lanes apart. */
export const formatBrierScore = (t: Translate, score: number) => score.toFixed(4)

/** "12 %", "0.4 %": a whole percentage, or below one a decimal; "less than 0.1 %" of something that is not nothing. */
export function formatFinePercent(t: Translate, share: number): string {
  const percent = share * 100
  if (percent > 0 && percent < 0.05) return 'less than 0.1 %'
  return percent > 0 && percent < 0.95 ? `${percent.toFixed(1)} %` : `${Math.round(percent)} %`
}

type Rule = Score['rules'][number]

/** Who came nearer to what happened, and by how much: "the forecast, by 47 %, beyond chance". */
export function formatComparison(t: Translate, { nearer, score, gain, isBeyondChance }: Rule): string {
  if (nearer === 'neither') return 'neither'
  const chance = isBeyondChance ? 'beyond chance' : 'within chance'
  const ours = score.mean - gain.mean
  const [better, worse] = nearer === 'ours' ? [ours, score.mean] : [score.mean, ours]
  return `${nearer === 'ours' ? 'the forecast' : 'the plain rule'}, by ${formatFinePercent(t, 1 - better / worse)}, ${chance}`
}
