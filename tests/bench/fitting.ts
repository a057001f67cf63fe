import { type Fit, fitHazards } from '@/lib/lane/model/fit'
import type { Observation } from '@/lib/lane/model/observation'
import { type Chance, chanceFrom } from '../reference/random'
import { type Comparison, compare } from './compare'

const SHIPMENTS = 1_000_000
const LANES = 2_000
const SERVICES = 5
const MORE = 20_000
const REFERENCE = { referenceAt: Date.UTC(2026, 10, 25), halfLifeDays: null }
/** Below the step at which a shipment is presumed lost, so that both methods count the same. */
const LONGEST = 25

/** Shipments in lanes with different hazards, a few of them still in transit. */
function makeShipments(chance: Chance): Observation[] {
  const lanes = Array.from({ length: LANES }, (_, lane) => ({
    keys: [
      `plant ${lane} to laboratory ${lane % 7}, service ${lane % SERVICES}`,
      `service ${lane % SERVICES}`,
    ],
    percent: 20 + chance.whole(60),
  }))
  return Array.from({ length: SHIPMENTS }, (_, n) => {
    const { keys, percent } = chance.pick(lanes)
    let steps = 0
    while (steps < LONGEST && chance.whole(100) >= percent) steps += 1
    const hasArrived = chance.whole(30) > 0
    return { levels: [...keys], startedAt: REFERENCE.referenceAt - n * 60_000, steps, hasArrived, weight: 1 }
  })
}

interface Step {
  step: number
  notYet: number
}

/** Kaplan-Meier of each lane from its own record alone, written from the definition: no pull, no pool. */
function computePlainCurves(observations: readonly Observation[]): Map<string, Step[]> {
  const lanes = new Map<string, Map<number, { arrived: number; ended: number }>>()
  for (const { levels, steps, hasArrived } of observations) {
    const key = levels[0] as string
    let lane = lanes.get(key)
    if (!lane) {
      lane = new Map()
      lanes.set(key, lane)
    }
    const at = lane.get(steps) ?? { arrived: 0, ended: 0 }
    lane.set(steps, { arrived: at.arrived + (hasArrived ? 1 : 0), ended: at.ended + 1 })
  }
  return new Map([...lanes].map(([key, lane]) => [key, computeCurve(lane)]))
}

function computeCurve(lane: ReadonlyMap<number, { arrived: number; ended: number }>): Step[] {
  let atRisk = [...lane.values()].reduce((sum, { ended }) => sum + ended, 0)
  let notYet = 1
  return [...lane]
    .sort(([one], [other]) => one - other)
    .map(([step, { arrived, ended }]) => {
      notYet *= 1 - arrived / atRisk
      atRisk -= ended
      return { step, notYet }
    })
}

/** Without any pull, both methods must agree on every lane. */
function assertAgree(observations: readonly Observation[]): void {
  const fit = fitHazards(observations, { ...REFERENCE, weights: 0 })
  const curves = computePlainCurves(observations)
  const levelsByKey = new Map(observations.map(({ levels }) => [levels[0] as string, levels]))
  for (const [key, curve] of curves) {
    const ours = fit.curve(levelsByKey.get(key) as readonly string[])
    if (curve.some(({ step, notYet }) => Math.abs((ours[step]?.notYet ?? -1) - notYet) > 1e-12))
      throw new Error(`The two ways do not agree on ${key}.`)
  }
}

/** Fits all lanes of a large programme, weights included, and updates one lane with an arrival. */
export function benchFitting(): Comparison[] {
  const observations = makeShipments(chanceFrom(4))
  assertAgree(observations)
  const whole = compare(
    'fitting lanes',
    {
      name: `${SHIPMENTS} shipments in ${LANES} lanes, pulled to service and pool by fitted weights`,
      count: SHIPMENTS,
      run: () => void fitHazards(observations, REFERENCE),
    },
    {
      name: 'each lane by itself, Kaplan-Meier with maps and objects',
      count: SHIPMENTS,
      run: () => void computePlainCurves(observations),
    },
    { aim: 'none set' },
  )
  const fit = fitHazards(observations, REFERENCE)
  const ofOneLane = observations.filter(({ levels }) => levels[0] === observations[0]?.levels[0])
  const update = compare(
    'one more arrival',
    {
      name: 'added to its lane, and the hazards of the lane read',
      count: MORE,
      run: () => addAll(fit, observations.slice(0, MORE)),
    },
    {
      name: `the lane worked out anew from its ${ofOneLane.length} shipments`,
      count: 200,
      run: () => {
        for (let n = 0; n < 200; n += 1) computePlainCurves(ofOneLane)
      },
    },
    { aim: 'none set' },
  )
  return [whole, update]
}

function addAll(fit: Fit, observations: readonly Observation[]): void {
  for (const observation of observations) {
    fit.add(observation)
    fit.hazards(observation.levels)
  }
}
