import { describe, expect, test } from 'vitest'
import { MILESTONES, type Milestone } from '@/lib/hold/milestone'
import {
  computeTurnaround,
  findLifeAt,
  type LifeSoFar,
  PARTS,
  type PartName,
} from '@/lib/lane/model/turnaround'
import { drawsFrom } from '../chance'

const HOUR = 3_600_000
const DAY = 24 * HOUR

/** A life with the hours of its milestones after the kit's issue; a pair is a span. */
function life(
  marks: Partial<Record<Milestone, number | [number, number]>>,
  ending: LifeSoFar['ending'] = null,
): LifeSoFar {
  const milestones = Object.entries(marks).map(([name, mark]) => {
    const [first, last] = Array.isArray(mark) ? mark : [mark, mark]
    return [name as Milestone, { earliestAt: first * HOUR, latestAt: last * HOUR }] as const
  })
  return { issuedAt: 0, milestones: new Map(milestones), ending }
}
const at = (name: PartName, lives: LifeSoFar[], nowHours = 1000) =>
  computeTurnaround(lives, nowHours * HOUR).find((part) => part.name === name)

describe('each part runs between its milestones', () => {
  const whole = life({
    produced: 90,
    collected: 100,
    sealed: 101,
    dispatched: 110,
    delivered: 150,
    received: 153,
    conditioned: 160,
    loaded: 190,
    reported: 400,
  })
  test.each([
    ['kit out', 100],
    ['cut', 10],
    ['ship', 10],
    ['transit', 40],
    ['dock', 3],
    ['wait for chamber', 37],
    ['test and report', 210],
    ['receipt to report', 247],
  ] as [PartName, number][])('%s', (name, hours) => {
    expect(at(name, [whole])).toEqual({
      name,
      medianHours: hours,
      p90Hours: hours,
      closed: 1,
      open: 0,
      notReported: 0,
      outOfOrder: 0,
    })
  })
})

describe('what is still open', () => {
  const done = (hours: number) => life({ dispatched: 0, received: hours })
  test('counts as lasting until now at least', () => {
    const lives = [done(20), done(30), done(40), life({ dispatched: 0 }), life({ dispatched: 0 })]
    expect(at('transit', lives, 100)).toMatchObject({
      medianHours: 40,
      p90Hours: null,
      closed: 3,
      open: 2,
    })
  })
  test('for less than the others took changes nothing', () => {
    const lives = [done(20), done(30), life({ dispatched: 990 })]
    expect(at('transit', lives, 1000)).toMatchObject({ medianHours: 20, p90Hours: 30, open: 1 })
  })
  test('has no median without closed ones', () => {
    expect(at('transit', [life({ dispatched: 0 })])).toMatchObject({ medianHours: null, closed: 0, open: 1 })
  })
  test('does not count before its beginning, nor does a milestone dated after now', () => {
    expect(at('transit', [life({ collected: 10 })])).toMatchObject({ closed: 0, open: 0 })
    expect(at('transit', [life({ dispatched: 10, received: 60 })], 50)).toMatchObject({ closed: 0, open: 1 })
  })
})

describe('a missing or contradictory end', () => {
  test('that was never reported is left out and counted', () => {
    const lives = [life({ dispatched: 0, loaded: 80 }), life({ dispatched: 0, received: 30 })]
    expect(at('transit', lives)).toMatchObject({ medianHours: 30, closed: 1, open: 0, notReported: 1 })
  })
  test('before the beginning is left out and counted', () => {
    expect(at('transit', [life({ dispatched: 50, received: 40 })])).toMatchObject({
      closed: 0,
      outOfOrder: 1,
    })
  })
  test('of a date counts by its middle, and is no contradiction on the same day', () => {
    expect(at('transit', [life({ dispatched: 15, received: [24, 48] })])).toMatchObject({ medianHours: 21 })
    expect(at('transit', [life({ dispatched: 15, received: [0, 24] })])).toMatchObject({
      medianHours: 0,
      outOfOrder: 0,
    })
  })
})

describe('endings', () => {
  const ended = (kind: 'lost' | 'returned' | 'rejected' | 'cancelled', hours: number) =>
    life({ dispatched: 0 }, { kind, at: hours * HOUR })
  const arrived = [life({ dispatched: 0, received: 20 }), life({ dispatched: 0, received: 30 })]

  test.each(['lost', 'returned'] as const)('%s is never over, so it lengthens transit', (kind) => {
    const lost = [ended(kind, 5), ended(kind, 5), ended(kind, 5)]
    expect(at('transit', [...arrived, ...lost])).toMatchObject({ medianHours: null, closed: 2, open: 3 })
  })
  test('rejected has arrived', () => {
    expect(at('transit', [ended('rejected', 44)])).toMatchObject({ medianHours: 44, closed: 1 })
  })
  test('rejected at the desk ends the wait for a chamber without a chamber', () => {
    const rejected = life({ received: 10 }, { kind: 'rejected', at: 12 * HOUR })
    expect(at('wait for chamber', [rejected])).toMatchObject({ medianHours: null, closed: 0, open: 1 })
  })
  test('cancelled is censored then', () => {
    // By hand: at 20 h three of four are at risk, at 30 h one: 2/3, then 0.
    const lives = [...arrived, ended('cancelled', 25), ended('cancelled', 1)]
    expect(at('transit', lives)).toMatchObject({ medianHours: 30, p90Hours: 30, open: 2 })
  })
  test('after now do not count', () => {
    expect(at('transit', [ended('rejected', 44)], 40)).toMatchObject({ closed: 0, open: 1 })
  })
})

/** The figures of one part in the most literal way: a product over every hour of the calendar. */
function literally(name: PartName, lives: readonly LifeSoFar[], nowHour: number) {
  const part = PARTS.find((one) => one.name === name)
  if (!part) throw new Error(name)
  const findHour = (one: LifeSoFar, mark: string) => {
    const found = mark === 'issued' ? one.issuedAt : one.milestones.get(mark as Milestone)?.earliestAt
    return found === undefined || found > nowHour * HOUR ? null : found / HOUR
  }
  const rows = lives.flatMap((one) => {
    const from = findHour(one, part.from)
    if (from === null) return []
    const stop = part.to.map((to) => findHour(one, to)).find((hour) => hour !== null)
    if (stop !== undefined && stop !== null)
      return stop < from ? [] : [{ length: stop - from, isClosed: true }]
    const names = MILESTONES.slice(Math.max(...part.to.map((to) => MILESTONES.indexOf(to))) + 1)
    return names.some((later) => findHour(one, later) !== null)
      ? []
      : [{ length: nowHour - from, isClosed: false }]
  })
  const reach = (share: number) => {
    let notYet = 1
    for (let hour = 0; hour <= nowHour; hour += 1) {
      const atRisk = rows.filter(({ length }) => length >= hour).length
      const over = rows.filter(({ length, isClosed }) => isClosed && length === hour).length
      if (over > 0) notYet *= (atRisk - over) / atRisk
      if (over > 0 && notYet <= 1 - share + 1e-9) return hour
    }
    return null
  }
  const closed = rows.filter(({ isClosed }) => isClosed).length
  return { medianHours: reach(0.5), p90Hours: reach(0.9), closed, open: rows.length - closed }
}

test('300 random programmes give what a literal count, hour by hour, gives', () => {
  const draws = drawsFrom(35)
  let open = 0
  for (let programme = 0; programme < 300; programme += 1) {
    const lives = Array.from({ length: 1 + draws.whole(25) }, () => {
      let hour = 0
      const marks = MILESTONES.flatMap((name) => {
        hour += draws.whole(20) - 2
        return draws.whole(6) === 0 || hour < 0 ? [] : [[name, hour] as const]
      })
      return life(Object.fromEntries(marks.slice(0, draws.whole(10))))
    })
    for (const name of PARTS.map((part) => part.name)) {
      const expected = literally(name, lives, 90)
      open += expected.open
      expect(computeTurnaround(lives, 90 * HOUR).find((part) => part.name === name)).toMatchObject(expected)
    }
  }
  expect(open).toBeGreaterThan(1000)
})

test('a day that a clock change makes 25 hours long counts 25', () => {
  const [start, stop] = ['2026-10-31T09:00-05:00', '2026-11-01T09:00-06:00'].map(Date.parse) as [
    number,
    number,
  ]
  expect(stop - start).toBe(DAY + HOUR)
  const one = life({ dispatched: start / HOUR, received: stop / HOUR })
  expect(at('transit', [one], stop / HOUR)).toMatchObject({ medianHours: 25 })
})

test('a journey counts as known then, without later reports and corrections', () => {
  const journey = {
    code: 'K',
    plant: 'P',
    laboratory: 'L',
    service: null,
    consignment: null,
    issuedAt: 0,
    reports: [
      { milestone: 'dispatched' as const, at: 0, latestAt: 0, knownAt: 0, withdrawnAt: null },
      {
        milestone: 'received' as const,
        at: 20 * HOUR,
        latestAt: 20 * HOUR,
        knownAt: 30 * HOUR,
        withdrawnAt: 50 * HOUR,
      },
      {
        milestone: 'received' as const,
        at: 44 * HOUR,
        latestAt: 44 * HOUR,
        knownAt: 50 * HOUR,
        withdrawnAt: null,
      },
    ],
    ending: null,
  }
  const known = (hour: number) => at('transit', [findLifeAt(journey, hour * HOUR)], hour)
  expect(known(29)).toMatchObject({ closed: 0, open: 1 })
  expect(known(30)).toMatchObject({ medianHours: 20, closed: 1 })
  expect(known(50)).toMatchObject({ medianHours: 44, closed: 1 })
})
