import { describe, expect, test } from 'vitest'
import { formatWhereabouts } from '@/app/ui/words/stage'
import { english } from '@/lib/messages/english'
import { row } from '../../sampleRows'

const now = Date.parse('2026-11-10T12:00:00Z')
const words = (changes: Parameters<typeof row>[0], zone = 'Europe/Lisbon') =>
  formatWhereabouts(english, row(changes), zone, now)

describe('where a sample is', () => {
  test('before it is cut, when its kit was issued', () =>
    expect(words({})).toBe('kit issued 1 Nov, not yet cut'))

  test('at the plant, since when', () => {
    const stageAt = Date.parse('2026-11-09T14:00:00Z')
    expect(words({ stage: 'sealed', stageAt })).toBe('sealed Mon, not handed over')
    expect(words({ stage: 'produced', stageAt: now })).toBe('made today, not yet cut')
  })

  test('with the carrier, for how many days of the plant’s calendar, from day 0', () => {
    const stageAt = Date.parse('2026-11-06T20:00:00Z')
    expect(words({ stage: 'dispatched', stageAt })).toBe('with the carrier, day 4')
    expect(words({ stage: 'dispatched', stageAt }, 'Asia/Kolkata')).toBe('with the carrier, day 3')
    expect(words({ stage: 'dispatched', stageAt: now })).toBe('with the carrier since today')
  })

  test('on the dock, in conditioning and in the chamber, since when', () => {
    const stageAt = Date.parse('2026-11-09T14:00:00Z')
    expect(words({ stage: 'received', stageAt })).toBe('on the dock since Mon')
    expect(words({ stage: 'conditioned', stageAt })).toBe('in conditioning since Mon')
    expect(words({ stage: 'loaded', stageAt })).toBe('in the chamber since Mon')
  })

  test('how it ended early', () => expect(words({ stage: 'dispatched', ending: 'lost' })).toBe('lost'))
})
