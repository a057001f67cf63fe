import { describe, expect, test } from 'vitest'
import { formatBandSummary } from '@/app/(board)/bandSummary'
import { formatBoardSummary } from '@/app/(board)/boardSummary'
import { countTally, tally } from '@/lib/judgement/sampleGroup'
import { english } from '@/lib/messages/english'
import type { Board } from '@/lib/store/read/board'

describe('the summary of a band', () => {
  test('names the worst groups first', () => {
    expect(formatBandSummary(english, ['sound', 'at risk', 'to be replaced', 'in question', 'at risk'])).toBe(
      '1 to be replaced, 1 in question, 2 at risk and 1 sound',
    )
    expect(formatBandSummary(english, ['sound', 'sound'])).toBe('All 2 sound')
    expect(formatBandSummary(english, ['sound'])).toBe('1 sound')
    expect(formatBandSummary(english, [])).toBe('None under way')
  })
})

describe('the summary of the board', () => {
  const counts = (
    groups: Partial<Board['counts']['groups']>,
    urgent: Partial<Board['counts']['urgent']> = {},
  ) => {
    const all = { ...tally([]), ...groups }
    return { total: countTally(all), groups: all, urgent: { ...tally([]), ...urgent } }
  }

  test('says how many samples need someone today, and why', () => {
    const some = { 'to be replaced': 1, 'in question': 1, 'at risk': 2 }
    expect(
      formatBoardSummary(english, counts({ ...some, tight: 2, sound: 38 }, { ...some, tight: 1 })),
    ).toEqual({
      heading: 'Five samples need someone today.',
      rest: '1 proves nothing any more and must be replaced. 1 is in question and waits for a ruling. 2 are at risk and can still make it. 1 has a step that is overdue.',
      waiting: 'Also under way: 1 tight and 38 sound.',
    })
    expect(formatBoardSummary(english, counts({ 'at risk': 13 }, { 'at risk': 13 }))).toEqual({
      heading: '13 samples need someone today.',
      rest: '13 are at risk and can still make it.',
      waiting: '',
    })
  })

  test('says of what proves nothing and is not replaced that nobody is needed', () => {
    expect(formatBoardSummary(english, counts({ sound: 1, 'of no use': 2 }))).toEqual({
      heading: 'No sample needs anyone today.',
      rest: 'Under way: 1 sound. 2 prove nothing any more and need no replacement: keep or discard them by the site’s rules.',
      waiting: '',
    })
  })

  test('says when nobody is needed, and when nothing is under way', () => {
    expect(formatBoardSummary(english, counts({ tight: 1 }))).toEqual({
      heading: 'No sample needs anyone today.',
      rest: 'Under way: 1 tight.',
      waiting: '',
    })
    expect(formatBoardSummary(english, counts({}))).toEqual({
      heading: 'No sample is under way.',
      rest: '',
      waiting: '',
    })
  })
})
