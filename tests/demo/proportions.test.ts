import { beforeAll, describe, expect, it } from 'vitest'
import { getOpenStanding } from '@/lib/hold/standing'
import { DAY } from '@/lib/hold/zone'
import { type AssessedDemo, assessDemo, countTexts, getStanding } from './assessDemo'

let demo: AssessedDemo

beforeAll(() => {
  demo = assessDemo('2026-11-25T12:00:00Z')
})

describe('the proportions of the demo', () => {
  it('has about 6,000 samples, of which about 150 are open', () => {
    expect(demo.samples.length).toBeGreaterThan(5_600)
    expect(demo.samples.length).toBeLessThan(6_600)
    expect(demo.open.length).toBeGreaterThanOrEqual(145)
    expect(demo.open.length).toBeLessThanOrEqual(162)
  })

  it('has open samples in every standing, most of them sound', () => {
    const standings = countTexts(demo.open.map((sample) => getStanding(demo, sample)))
    expect(standings.sound).toBeGreaterThan(115)
    expect(standings.tight).toBeGreaterThanOrEqual(3)
    expect(standings['at risk']).toBeGreaterThanOrEqual(3)
    expect(standings.lapsed).toBeGreaterThanOrEqual(3)
  })

  it('has seven to eighteen samples that need someone today', () => {
    const pressing = demo.open.filter((sample) => ['lapsed', 'at risk'].includes(getStanding(demo, sample)))
    expect(pressing.length).toBeGreaterThanOrEqual(7)
    expect(pressing.length).toBeLessThanOrEqual(18)
  })

  it('has one at risk by its lane’s own record of which hardly half of its time is used', () => {
    const early = demo.open.filter(
      (sample) =>
        getStanding(demo, sample) === 'at risk' &&
        getOpenStanding(sample.standingTimes, demo.now) === 'sound',
    )
    expect(early.length).toBeGreaterThan(0)
  })

  it('has open samples at every stage', () => {
    const stages = countTexts(demo.open.map(({ history }) => history.stage ?? 'kit issued'))
    const all = [
      'kit issued',
      'produced',
      'collected',
      'sealed',
      'dispatched',
      'delivered',
      'received',
      'conditioned',
      'loaded',
    ]
    for (const stage of all) expect(stages[stage], stage).toBeGreaterThanOrEqual(2)
  })

  it('has samples on the way for one day, two and four or more', () => {
    const onTheWay = demo.open.filter(({ history }) => history.stage === 'dispatched')
    const days = onTheWay.map(({ history }) => {
      const at = history.milestones.get('dispatched')?.earliestAt ?? 0
      return Math.ceil((demo.now - at) / DAY)
    })
    expect(days.some((day) => day <= 1)).toBe(true)
    expect(days.some((day) => day === 2)).toBe(true)
    expect(days.some((day) => day >= 4)).toBe(true)
  })

  it('has settled nearly all that is old: what is left has vanished on the way or waits for its report', () => {
    const old = demo.open.filter(({ kit, product }) => product !== null && kit.issuedAt < demo.now - 50 * DAY)
    expect(old.length).toBeLessThanOrEqual(4)
    for (const { history } of old) expect(['dispatched', 'loaded']).toContain(history.stage)
  })

  it('has settled samples in every standing, a few in a hundred of them lapsed', () => {
    const settled = demo.samples.filter((sample) => sample.settled !== null)
    const standings = countTexts(settled.map((sample) => getStanding(demo, sample)))
    expect(Object.keys(standings).sort()).toEqual(['ended', 'kept', 'lapsed', 'unproven'])
    expect((standings.lapsed ?? 0) / settled.length).toBeGreaterThan(0.01)
    expect((standings.lapsed ?? 0) / settled.length).toBeLessThan(0.05)
  })
})
