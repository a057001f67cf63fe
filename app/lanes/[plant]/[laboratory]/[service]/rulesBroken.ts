import type { LanePage } from '@/lib/store/read/lanes/lanePage'

type Point = NonNullable<LanePage['figures']['chart']>['points'][number]

/** A stretch of points that breaks a rule; days are local days of hand-over. */
export interface BrokenRule {
  rule: Point['breaks'][number]
  from: number
  to: number
  /** Null where its points lie on both sides of the centre. */
  side: 'slower' | 'faster' | null
}

/** The stretches of a chart's points that break a rule, the newest first. */
export function rulesBroken(points: readonly Point[]): BrokenRule[] {
  const stretches = new Map<string, Point[]>()
  const found: { rule: BrokenRule['rule']; members: Point[] }[] = []
  for (const point of points) {
    for (const rule of stretches.keys())
      if (!point.breaks.some((broken) => broken === rule)) stretches.delete(rule)
    for (const rule of point.breaks) {
      const going = stretches.get(rule)
      if (going) {
        going.push(point)
        continue
      }
      const members = [point]
      stretches.set(rule, members)
      found.push({ rule, members })
    }
  }
  return found
    .map(({ rule, members }) => ({
      rule,
      from: (members[0] as Point).firstDay,
      to: (members.at(-1) as Point).lastDay,
      side: sideOf(members),
    }))
    .sort((a, b) => b.to - a.to)
}

function sideOf(members: readonly Point[]): BrokenRule['side'] {
  if (members.every(({ score }) => score > 0)) return 'slower'
  return members.every(({ score }) => score < 0) ? 'faster' : null
}
