import { describe, expect, test } from 'vitest'
import { formatStatus, getStanding } from '@/app/ui/words/standing'
import { DAY, HOUR, MINUTE } from '@/lib/hold/zone'
import { english } from '@/lib/messages/english'
import { message } from '@/lib/messages/message'
import { act, clock, judgedRow, row } from '../../sampleRows'

const zone = 'Europe/Lisbon'
const cutAt = Date.parse('2026-11-02T10:00:00Z')
const running = clock({ startedAt: cutAt })
const dueAt = cutAt + 10 * DAY

const standing = (of: ReturnType<typeof row>, zone: string, now: number) =>
  formatStatus(english, of, zone, now)

describe('how a sample stands', () => {
  test('sound: the time left and which limit', () => {
    const words = standing(row({ stage: 'collected', binding: running }), zone, dueAt - 2 * DAY - 4 * HOUR)
    expect(words).toEqual({
      standing: 'sound',
      headline: 'sound: 2 days 4 hours left',
      limit: 'cut to chamber',
      note: null,
      found: null,
      restraint: null,
    })
  })

  test('at risk: the time left', () => {
    const atRisk = row({ standing: 'at risk', stage: 'sealed', binding: running })
    expect(standing(atRisk, zone, dueAt - 9 * HOUR)).toMatchObject({ headline: 'at risk: 9 hours left' })
  })

  test('lapsed: since when', () => {
    const lapsed = row({ standing: 'lapsed', stage: 'received', binding: running, lapsed: running })
    expect(standing(lapsed, zone, dueAt + 3 * HOUR + MINUTE)).toMatchObject({
      headline: 'lapsed 3 hours ago',
      limit: 'cut to chamber',
    })
  })

  test('lapsed by a clock that stopped late, while another still runs: by how much it was missed', () => {
    const late = clock(
      { startedAt: cutAt, stoppedAt: cutAt + 26 * HOUR + 18 * MINUTE },
      { name: 'cut to carrier', to: 'dispatched', amount: 24 },
    )
    const words = standing(
      row({ standing: 'lapsed', stage: 'dispatched', binding: running, lapsed: late }),
      zone,
      cutAt + 2 * DAY,
    )
    expect(words).toMatchObject({
      headline: 'lapsed: missed by 2 hours 18 minutes',
      limit: 'cut to carrier',
    })
  })

  test('a report that is late, not lapsed, whether it was issued or not', () => {
    const to = { name: 'cut to report', to: 'reported' } as const
    const open = clock({ startedAt: cutAt }, to)
    expect(
      standing(row({ standing: 'lapsed', stage: 'loaded', binding: open, lapsed: open }), zone, dueAt + DAY),
    ).toMatchObject({ headline: 'report late: due 24 hours ago', limit: 'cut to report' })
    const late = clock({ startedAt: cutAt, stoppedAt: dueAt + 3 * HOUR }, to)
    expect(
      standing(
        row({ standing: 'lapsed', stage: 'reported', isSettled: true, lapsed: late }),
        zone,
        dueAt + DAY,
      ),
    ).toMatchObject({ headline: 'report late by 3 hours', limit: 'cut to report' })
  })

  test('lapsed as soon as the due has passed, though it was sound when it was judged; then nothing is said of the judgement', () => {
    const judgement = {
      fitness: 'in question',
      restraint: 'do not load',
      acts: [act('rule on it', 'programme', { findings: ['desk/1'] })],
    } as const
    const stale = judgedRow({ stage: 'collected', binding: running, standing: 'at risk', judgement })
    expect(getStanding(stale, dueAt)).toBe('at risk')
    expect(standing(stale, zone, dueAt).restraint).toBe('Do not load it.')
    expect(getStanding(stale, dueAt + 1)).toBe('lapsed')
    expect(standing(stale, zone, dueAt + 1)).toMatchObject({
      headline: 'lapsed less than a minute ago',
      found: null,
      restraint: null,
    })
  })

  test('with a time missing: no clock', () => {
    const words = standing(
      row({ stage: 'received', missingMilestones: ['collected', 'dispatched'] }),
      zone,
      dueAt,
    )
    expect(words).toMatchObject({ headline: 'no clock running' })
  })

  test('with no clock: whether one is to come, or no limit is known', () => {
    expect(standing(row(), zone, dueAt).headline).toBe('no clock running yet')
    expect(standing(row({ protocol: null }), zone, dueAt).headline).toBe('no hold limit known')
  })

  test('settled: how, and when by the plant’s calendar', () => {
    const settled = { isSettled: true, settledAt: Date.parse('2026-11-09T23:30:00Z') }
    const kept = row({ ...settled, standing: 'kept', stage: 'reported' })
    expect(standing(kept, 'Asia/Kolkata', dueAt)).toMatchObject({
      headline: 'kept',
      note: 'settled Tue 10 Nov',
    })
    const lost = row({ ...settled, standing: 'ended', ending: 'lost' })
    expect(standing(lost, zone, dueAt)).toMatchObject({ headline: 'ended: lost', note: 'settled Mon 9 Nov' })
    const late = row({
      ...settled,
      standing: 'lapsed',
      ending: 'rejected',
      lapsed: clock({ startedAt: cutAt, stoppedAt: dueAt + 2 * HOUR }),
    })
    expect(standing(late, zone, dueAt + DAY)).toMatchObject({
      headline: 'lapsed: missed by 2 hours',
      limit: 'cut to chamber',
      note: 'rejected, settled Mon 9 Nov',
    })
  })

  test('replaced: by which kit', () => {
    const over = clock({ startedAt: 0 })
    const lapsed = row({ standing: 'lapsed', binding: over, lapsed: over, replacedBy: 'G9HF3SN3' })
    expect(standing(lapsed, zone, 20 * DAY)).toMatchObject({ note: 'replaced by G9HF-3SN3' })
  })
})

describe('a sample with an unruled finding', () => {
  const why = message('act.rule.why', { what: message('finding.reported', { what: 'a torn bag' }) })
  const rule = act('rule on it', 'programme', { findings: ['desk/1', 'desk/2'], why })
  const judgement = { fitness: 'in question', restraint: 'do not load', acts: [rule] } as const

  test('does not read sound', () => {
    const doubtful = judgedRow({ stage: 'received', binding: running, judgement })
    expect(standing(doubtful, zone, dueAt - 5 * HOUR)).toEqual({
      standing: 'sound',
      headline: 'in question: 5 hours left',
      limit: 'cut to chamber',
      note: null,
      found: 'Found: a torn bag.',
      restraint: 'Do not load it.',
    })
    expect(standing(judgedRow({ judgement }), zone, dueAt).headline).toBe('in question')
  })

  test('does not read kept', () => {
    const settled = {
      isSettled: true,
      settledAt: Date.parse('2026-11-09T23:30:00Z'),
      standing: 'kept',
    } as const
    expect(standing(judgedRow({ ...settled, judgement }), zone, dueAt)).toMatchObject({
      headline: 'in question',
      note: 'settled Mon 9 Nov',
    })
  })
})

test('a sample that is ruled out reads unfit, though its limit leaves time', () => {
  const judgement = {
    fitness: 'unfit',
    restraint: 'do not load',
    acts: [act('replace it', 'programme')],
  } as const
  expect(
    standing(judgedRow({ stage: 'received', binding: running, judgement }), zone, dueAt - HOUR),
  ).toMatchObject({
    headline: 'unfit: to be cut again by ruling',
    limit: null,
    restraint: 'Do not load it.',
  })
})
