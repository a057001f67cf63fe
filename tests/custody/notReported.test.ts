import { describe, expect, test } from 'vitest'
import { findBindingClock, getOpenStanding } from '@/lib/hold/standing'
import { english } from '@/lib/messages/english'
import { deriveKit, event, findClock, getState, listFlags, NOW } from './desk'

const notReported = (sample: ReturnType<typeof deriveKit>) =>
  sample.clocks.filter(({ isNotReported }) => isNotReported).map(({ limit }) => limit.name)

describe('a milestone that is missing though a later one was reported', () => {
  test('is asked for once, and does not change the state of its clock', () => {
    const sample = deriveKit([
      event('collected', '2026-10-20T10:00:00Z'),
      event('received', '2026-10-23T10:00:00Z'),
    ])
    expect(notReported(sample)).toEqual(['cut to carrier', 'in transit'])
    expect([getState(sample, 'cut to carrier'), getState(sample, 'in transit')]).toEqual([
      'overrun',
      'unproven',
    ])
    expect(
      sample.flags.filter(({ kind }) => kind === 'not reported').map(({ detail }) => english.message(detail)),
    ).toEqual([expect.stringContaining('“handed over”')])
  })

  test('never governs: a clock that only waits for a report neither presses nor lapses', () => {
    const sample = deriveKit([
      event('collected', '2026-11-06T10:00:00Z'),
      event('received', '2026-11-09T15:00:00Z'),
    ])
    expect(getState(sample, 'cut to carrier')).toBe('overrun')
    expect(getOpenStanding(sample.standingTimes, NOW)).not.toBe('lapsed')
    expect(findBindingClock(sample.clocks, NOW)?.limit.name).toBe('dock to chamber')
  })

  test('may be one whose report was withdrawn', () => {
    const events = [
      event('collected', '2026-10-20T10:00:00Z'),
      event('dispatched', '2026-10-20T15:00:00Z', { id: 'left' }),
      event('received', '2026-10-23T10:00:00Z'),
    ]
    expect(notReported(deriveKit(events))).toEqual([])
    const gone = event('withdrawn', '2026-10-24T10:00:00Z', { corrects: 'desk/left' })
    expect(notReported(deriveKit([...events, gone]))).toEqual(['cut to carrier', 'in transit'])
  })

  test('does not count as missing while the later milestone is in the future', () => {
    const sample = deriveKit([
      event('collected', '2026-11-10T10:00:00Z'),
      event('received', '2026-11-12T10:00:00Z'),
    ])
    expect(notReported(sample)).toEqual([])
    expect(listFlags(sample)).toEqual(['ahead of now'])
  })

  test('is never the last one', () => {
    const sample = deriveKit([event('collected', '2026-11-10T10:00:00Z')])
    expect([notReported(sample), listFlags(sample)]).toEqual([[], []])
    expect(findClock(sample, 'cut to chamber').isNotReported).toBe(false)
  })

  test('is judged by the order of milestones, not by their times', () => {
    // Conditioning was reported with an early date; receipt is still missing.
    const sample = deriveKit([
      event('conditioned', '2026-10-01T10:00:00Z'),
      event('dispatched', '2026-10-20T15:00:00Z'),
    ])
    expect(notReported(sample)).toContain('in transit')
  })
})
