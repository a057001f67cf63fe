import type { PlainRule } from '@/lib/lane/backtest/plainRules'
import type { Score } from '@/lib/lane/backtest/scoreboard'
import type { MessageKey } from '@/lib/messages/message'
import type { Translate } from '@/lib/messages/translate'

const RULE_LABELS = {
  'share of all': 'scores.rule.shareOfAll',
  'share of the lane': 'scores.rule.shareOfLane',
  'share of the lane, not yet': 'scores.rule.shareOfLaneNotYet',
  'share of the service, not yet': 'scores.rule.shareOfServiceNotYet',
  'over the median': 'scores.rule.overMedian',
} as const satisfies Record<PlainRule, MessageKey>

export const formatPlainRule = (t: Translate, rule: PlainRule) => t(RULE_LABELS[rule])

/** A Brier score: four decimals tell lanes apart. */
export const formatBrierScore = (t: Translate, score: number) =>
  t.number(score, { minimumFractionDigits: 4, maximumFractionDigits: 4 })

/** "12 %", "0.4 %": a whole percentage, or below one a decimal; "under 0.1 %" for what is not nothing. */
export function formatFinePercent(t: Translate, share: number): string {
  const percent = share * 100
  if (percent > 0 && percent < 0.05) return t('chance.percent.tiny')
  const isSmall = percent > 0 && percent < 0.95
  return t('chance.percent', { percent: isSmall ? Math.round(percent * 10) / 10 : Math.round(percent) })
}

type Rule = Score['rules'][number]

/** The value of `certainty` in a message: whether a difference is more than two standard errors. */
export const getCertainty = ({ isBeyondChance }: Pick<Rule, 'isBeyondChance'>) =>
  isBeyondChance ? 'beyond' : 'within'

/** Which was more accurate, and by how much: "The forecast, by 47 %, beyond chance". */
export function formatComparison(t: Translate, rule: Rule): string {
  const { nearer, score, gain } = rule
  if (nearer === 'neither') return t('scores.nearer.neither')
  const ours = score.mean - gain.mean
  const [better, worse] = nearer === 'ours' ? [ours, score.mean] : [score.mean, ours]
  return t(nearer === 'ours' ? 'scores.nearer.forecast' : 'scores.nearer.rule', {
    percent: formatFinePercent(t, 1 - better / worse),
    certainty: getCertainty(rule),
  })
}
