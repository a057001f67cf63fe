import { expect, test } from 'vitest'
import { fitHazards } from '@/lib/lane/model/fit'
import type { Observation } from '@/lib/lane/model/observation'
import type { CurveStep } from '@/lib/lane/model/survivalCurve'
import { type Chance, chanceFrom } from '@/tests/reference/random'
import { getRunSeed } from '@/tests/setup/seed'
import { PLAIN } from './model/observations'
import { plainKaplanMeier, type Subject } from './plainKaplanMeier'

const PRECISION = 1e-12

interface Placed extends Subject {
  levels: readonly string[]
}

/** Up to 60 subjects in up to three lanes of up to two services, ties likely. */
function anySubjects(chance: Chance): Placed[] {
  const latest = 1 + chance.whole(40)
  return Array.from({ length: 1 + chance.whole(60) }, () => {
    const service = `service ${chance.whole(2)}`
    return {
      time: chance.whole(latest),
      hasEvent: chance.whole(3) > 0,
      levels: [`lane ${chance.whole(3)} of ${service}`, service],
    }
  })
}

const observed = ({ time, hasEvent, levels }: Placed): Observation => ({
  levels,
  startedAt: 0,
  steps: time,
  hasArrived: hasEvent,
  weight: 1,
})

test('with no weight and no fading it is Kaplan-Meier, for the pool and for each group in it, on 1,000 random sets', () => {
  const seed = getRunSeed()
  const chance = chanceFrom(seed)
  for (let set = 0; set < 1000; set += 1) {
    const subjects = anySubjects(chance)
    const fit = fitHazards(subjects.map(observed), PLAIN)
    const groups = [
      [],
      ...subjects.map(({ levels }) => levels.slice(1)),
      ...subjects.map(({ levels }) => levels),
    ]
    const distinct = new Map(groups.map((levels) => [JSON.stringify(levels), levels]))
    for (const levels of distinct.values()) {
      const own = subjects.filter((subject) => levels.every((level) => subject.levels.includes(level)))
      const curve = fit.curve(levels)
      const where = `seed ${seed}, set ${set}, ${levels.join(' / ') || 'pool'}`
      const plain = plainKaplanMeier(own)
      const ours = plain.map(({ time }) => curve[time] as CurveStep)
      expect(
        ours.flatMap(({ atRisk, arrived }) => [atRisk, arrived]),
        where,
      ).toEqual(plain.flatMap(({ atRisk, events }) => [atRisk, events]))
      const errors = plain.flatMap(({ survival, stdErr }, row) => [
        Math.abs((ours[row] as CurveStep).notYet - survival),
        Math.abs((ours[row] as CurveStep).stdErr - stdErr),
      ])
      expect(Math.max(...errors), where).toBeLessThan(PRECISION)
    }
  }
})
