import { describe, expect, test } from 'vitest'
import { formatBandSummary } from '@/app/(board)/bandSummary'
import { formatBoardSummary } from '@/app/(board)/boardSummary'
import { english } from '@/lib/messages/english'

describe('the summary of a band', () => {
  test('names the worst standings first', () => {
    expect(formatBandSummary(english, ['sound', 'at risk', 'lapsed', 'at risk'])).toBe(
      '1 lapsed, 2 at risk and 1 sound',
    )
    expect(formatBandSummary(english, ['sound', 'sound'])).toBe('All 2 sound')
    expect(formatBandSummary(english, ['sound'])).toBe('1 sound')
    expect(formatBandSummary(english, [])).toBe('None under way')
  })
})

describe('the summary of the board', () => {
  const none = { open: 0, lapsed: 0, replaced: 0, notOwed: 0, atRisk: 0, tight: 0, sound: 0 }

  test('says how many samples need someone today', () => {
    const counts = { ...none, open: 42, lapsed: 2, replaced: 1, atRisk: 2, sound: 38 }
    expect(formatBoardSummary(english, counts)).toEqual({
      heading: 'Three samples need someone today.',
      rest: '1 sample has lapsed and must be replaced. 2 samples are at risk and can still make it. Also under way: 1 replaced and 38 sound.',
    })
    expect(formatBoardSummary(english, { ...counts, open: 44, lapsed: 4, notOwed: 2 })).toEqual({
      heading: 'Three samples need someone today.',
      rest: '1 sample has lapsed and must be replaced. 2 samples are at risk and can still make it. Also under way: 1 replaced, 2 lapsed that the testing schedule does not require and 38 sound.',
    })
    expect(formatBoardSummary(english, { ...none, open: 13, atRisk: 13 })).toEqual({
      heading: '13 samples need someone today.',
      rest: '13 samples are at risk and can still make it.',
    })
  })

  test('says when nobody is needed, and when nothing is under way', () => {
    expect(formatBoardSummary(english, { ...none, open: 1, tight: 1 })).toEqual({
      heading: 'No sample needs anyone today.',
      rest: 'Under way: 1 tight.',
    })
    expect(formatBoardSummary(english, none)).toEqual({ heading: 'No sample is under way.', rest: '' })
  })
})
