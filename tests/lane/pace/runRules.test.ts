import { describe, expect, test } from 'vitest'
import { breaksRule, findRuleBreaks, ROUTINE_RULES, RUN_RULES, type RunRule } from '@/lib/lane/pace/runRules'
import { drawsFrom } from '../chance'

const broken = (scores: number[]) => findRuleBreaks(scores, RUN_RULES)
const mirrored = (scores: number[]) => scores.map((score) => 0 - score)

/** A series for each rule that breaks it and no other, with the first and last point of the break. */
const MADE: [RunRule, number[], number, number][] = [
  ['beyond the limits', [0.4, -0.6, 3.2, -0.3, 0.5], 2, 2],
  ['nine on one side', [-0.4, 0.5, 0.3, 1.2, 0.7, 0.2, 0.9, 1.4, 0.1, 0.6, -0.3], 1, 9],
  ['six rising or falling', [0.2, -1.6, -1.1, -0.4, 0.3, 0.8, 1.5, 0.9], 1, 6],
  [
    'fourteen up and down',
    [0.5, -0.4, 1.1, -0.2, 0.3, -1.2, 0.6, -0.7, 0.2, -0.3, 1.3, -0.6, 0.4, -0.1],
    0,
    13,
  ],
  ['two of three far out', [0.3, 2.4, -0.2, 2.2, -0.6], 1, 3],
  ['four of five off the centre', [-0.4, 1.3, 1.5, 0.2, 1.2, 1.6, -0.3], 1, 5],
  [
    'fifteen close to the centre',
    [1.4, 0.2, 0.5, -0.3, 0.6, 0.9, -0.4, -0.2, 0.1, -0.8, -0.5, 0.7, 0.3, 0.4, -0.6, -0.1, 1.5],
    1,
    15,
  ],
  ['eight clear of the centre', [0.3, 1.2, 1.6, -1.3, -1.1, 1.4, 1.2, -1.7, -1.2, 0.4], 1, 8],
]

describe('each rule is broken by a series that breaks no other', () => {
  test.each(MADE)('%s', (rule, scores, first, last) => {
    expect(broken(scores)).toEqual([{ rule, first, last }])
    expect(broken(mirrored(scores))).toEqual([{ rule, first, last }])
  })

  test('and by no part of it that is one point shorter', () => {
    for (const [, scores, first, last] of MADE) {
      expect(broken(scores.slice(first, last))).toEqual([])
      expect(broken(scores.slice(first + 1, last + 1))).toEqual([])
    }
  })

  test('the rules are eight', () => expect(new Set(MADE.map(([rule]) => rule))).toEqual(new Set(RUN_RULES)))
})

describe('on the lines', () => {
  test('a point on the limit is not beyond it', () => expect(broken([3])).toEqual([]))
  test('a point on the centre is on neither side', () => {
    expect(broken([1, 1, 0.5, 0.5, 0, 0.5, 1, 1, 0.5])).toEqual([])
  })
  test('two equal points do not rise', () => expect(broken([-1, -0.5, 0, 0, 0.5, 1])).toEqual([]))
  test('two of three far out on different sides are not two on one', () => {
    expect(broken([2.5, 0, -2.5])).toEqual([])
  })
})

test('a run that goes on is one break', () => {
  const run = [-1, ...Array.from({ length: 12 }, (_, index) => 0.5 + (index % 3) / 10), -1]
  expect(findRuleBreaks(run, ['nine on one side'])).toEqual([
    { rule: 'nine on one side', first: 1, last: 12 },
  ])
})

describe('on unchanged normal values', () => {
  const draws = drawsFrom(1984)
  const scores = Array.from({ length: 300_000 }, () => draws.normal())
  const rates = new Map(
    RUN_RULES.map((rule) => [
      rule,
      scores.map((_, index) => breaksRule(rule, scores.slice(Math.max(0, index - 14), index + 1))),
    ]),
  )
  const share = (rules: readonly RunRule[]) =>
    scores.filter((_, index) => rules.some((rule) => rates.get(rule)?.[index])).length / scores.length

  // Chances that the newest point completes the pattern, by hand from the normal distribution.
  test.each([
    ['beyond the limits', 0.0027],
    ['nine on one side', 2 / 2 ** 9],
    ['six rising or falling', 2 / 720],
    // 2 x 199,360,981 of 14! orders alternate (Euler's zigzag numbers).
    ['fourteen up and down', (2 * 199_360_981) / 87_178_291_200],
    ['fifteen close to the centre', 0.6826895 ** 15],
    ['eight clear of the centre', 0.3173105 ** 8 * (1 - 2 / 2 ** 8)],
  ] as [RunRule, number][])('%s ends at one point in so many as chance says', (rule, chance) => {
    // Runs overlap, so their counts vary more than those of independent points: three times the plain deviation x 2.
    const room = 6 * Math.sqrt(chance / scores.length)
    expect(Math.abs(share([rule]) - chance)).toBeLessThan(room)
  })

  // From memory of Nelson's paper: about one in a hundred for the first four, two in a hundred with the next two.
  test('the routine four raise a false alarm at about one point in a hundred, the first six at about two', () => {
    expect(share(ROUTINE_RULES)).toBeGreaterThan(0.009)
    expect(share(ROUTINE_RULES)).toBeLessThan(0.0145)
    expect(share(RUN_RULES.slice(0, 6))).toBeGreaterThan(0.015)
    expect(share(RUN_RULES.slice(0, 6))).toBeLessThan(0.025)
  })
})
