/**
 * The eight tests for special causes of Nelson 1984, in his order, on values in standard deviations from the
 * centre. The names are ours. Nelson's second needs nine on one side; the older Western Electric rules need
 * eight and are not used here.
 *
 * Source: L. S. Nelson, The Shewhart control chart - tests for special causes, Journal of Quality Technology 16
 * (1984) 237-239.
 */
export const RUN_RULES = [
  'beyond the limits',
  'nine on one side',
  'six rising or falling',
  'fourteen up and down',
  'two of three far out',
  'four of five off the centre',
  'fifteen close to the centre',
  'eight clear of the centre',
] as const

export type RunRule = (typeof RUN_RULES)[number]

/**
 * The tests that Nelson advises for every chart. The fifth and sixth warn earlier with twice the false alarms;
 * the last two check how a chart was set up. On normal values these four end a false alarm at about one point
 * in a hundred.
 */
export const ROUTINE_RULES: readonly RunRule[] = RUN_RULES.slice(0, 4)

/** A run of points that breaks a rule: all points from `first` to `last` (inclusive indexes). */
export interface RuleBreak {
  rule: RunRule
  first: number
  last: number
}

type Test = { points: number; isBroken: (window: readonly number[]) => boolean }

const above = (limit: number) => (score: number) => score > limit
const below = (limit: number) => (score: number) => score < -limit
const count = (window: readonly number[], is: (score: number) => boolean) => window.filter(is).length
const all = (window: readonly number[], is: (score: number) => boolean) => window.every(is)

/** `needed` of the window are beyond `limit` on one side, including the newest. */
function hasManyBeyond(window: readonly number[], limit: number, needed: number): boolean {
  const newest = window.at(-1) as number
  return [above(limit), below(limit)].some((is) => is(newest) && count(window, is) >= needed)
}

/** The sign of each step from a point to the next. */
function listDirections(window: readonly number[]): number[] {
  return window.slice(1).map((score, index) => Math.sign(score - (window[index] as number)))
}

const tests: Record<RunRule, Test> = {
  'beyond the limits': { points: 1, isBroken: (window) => all(window, (score) => Math.abs(score) > 3) },
  'nine on one side': { points: 9, isBroken: (window) => all(window, above(0)) || all(window, below(0)) },
  'six rising or falling': {
    points: 6,
    isBroken: (window) => [1, -1].some((way) => listDirections(window).every((step) => step === way)),
  },
  'fourteen up and down': {
    points: 14,
    isBroken(window) {
      const ways = listDirections(window)
      return ways.every((way, index) => way !== 0 && (index === 0 || way === -(ways[index - 1] as number)))
    },
  },
  'two of three far out': { points: 3, isBroken: (window) => hasManyBeyond(window, 2, 2) },
  'four of five off the centre': { points: 5, isBroken: (window) => hasManyBeyond(window, 1, 4) },
  'fifteen close to the centre': {
    points: 15,
    isBroken: (window) => all(window, (score) => Math.abs(score) < 1),
  },
  'eight clear of the centre': {
    points: 8,
    isBroken: (window) =>
      all(window, (score) => Math.abs(score) > 1) && window.some(above(0)) && window.some(below(0)),
  },
}

/**
 * The newest of `scores` completes a break of `rule`. Scores are in standard deviations from the centre, in
 * time order. Comparisons are strict: a point on a line is not beyond it, and one on the centre is on no side.
 */
export function breaksRule(rule: RunRule, scores: readonly number[]): boolean {
  const { points, isBroken } = tests[rule]
  return scores.length >= points && isBroken(scores.slice(-points))
}

/**
 * Every break of `rules` in `scores` (standard deviations from the centre, in time order), by rule and then by
 * time. A run longer than the rule needs is one break.
 */
export function findRuleBreaks(
  scores: readonly number[],
  rules: readonly RunRule[] = ROUTINE_RULES,
): RuleBreak[] {
  return rules.flatMap((rule) => {
    const { points } = tests[rule]
    const breaks: RuleBreak[] = []
    for (let last = points - 1; last < scores.length; last += 1) {
      if (!breaksRule(rule, scores.slice(last - points + 1, last + 1))) continue
      const before = breaks.at(-1)
      if (before?.last === last - 1) before.last = last
      else breaks.push({ rule, first: last - points + 1, last })
    }
    return breaks
  })
}
