import { describe, expect, test } from 'vitest'
import { formatArrivalsHeading, formatSampleRange } from '@/app/arrivals/arrivalsSummary'
import { formatLateAction, formatLimitStatus, formatQuestion } from '@/app/arrivals/lateConsignment'
import { formatArrivalDays } from '@/app/ui/words/chance'
import { DAY, toLocalDay } from '@/lib/hold/zone'
import { english } from '@/lib/messages/english'
import type { SampleForecast } from '@/lib/store/projection/storedForecast'
import type { Arrivals } from '@/lib/store/read/arrivals/arrivals'
import type { JudgedRow } from '@/lib/store/read/judged/judgedRow'
import { ADMINISTRATOR, NOBODY } from '../../judgement/responsibleViewer'
import { act, judgedRow } from '../sampleRows'

const NOW = Date.parse('2026-11-25T12:00:00Z')
const TODAY = toLocalDay(NOW, 'UTC')
type Coming = Arrivals['laboratories'][number]['coming'][number]

const coming = (handedOverAt: number | null, lateSinceDay: number | null = null): Coming => ({
  samples: [row()],
  plant: { code: 'P', name: 'Plant', zone: 'UTC', maker: null },
  service: 'Road freight',
  handedOverAt,
  chances: [],
  p10: null,
  p50: null,
  p90: null,
  lateSinceDay,
})
const row = (more: Parameters<typeof judgedRow>[0] = {}): JudgedRow =>
  judgedRow({ stage: 'dispatched', ...more })
const laboratory = (all: Coming[], unpredicted = 0) => ({
  code: 'L',
  name: 'Laboratory',
  zone: 'UTC',
  days: [],
  coming: all,
  unpredicted,
})

describe('the heading of arrivals', () => {
  test('counts cut samples apart from those on their way', () => {
    expect(
      formatArrivalsHeading(english, [
        laboratory([coming(NOW - DAY), coming(NOW - DAY, TODAY - 1), coming(null)]),
      ]),
    ).toBe('2 samples are on their way, 1 more is cut; 1 is late.')
    expect(formatArrivalsHeading(english, [laboratory([coming(NOW - DAY)], 1)])).toBe(
      '2 samples are on their way; none is late.',
    )
    expect(formatArrivalsHeading(english, [laboratory([coming(null), coming(null)])])).toBe(
      'Nothing is on its way; 2 samples are cut and not yet handed over.',
    )
  })

  test('writes ranges', () => {
    expect(formatSampleRange(english, { low: 0, high: 0 })).toBe('no samples')
    expect(formatSampleRange(english, { low: 0, high: 1 })).toBe('up to 1 sample')
    expect(formatSampleRange(english, { low: 2, high: 6 })).toBe('2 to 6 samples')
  })

  test('tells likely arrivals from those that may not come', () => {
    const days = (p10: number | null, p50: number | null, p90: number | null) =>
      formatArrivalDays(english, { p10, p50, p90 }, 'UTC', NOW)
    expect(days(TODAY, TODAY + 1, null)).toBe('from Wed 25 Nov, if at all')
    expect(days(TODAY, null, null)).toBe('may not arrive')
    expect(days(null, null, null)).toBe('may not arrive')
    expect(days(TODAY, TODAY, TODAY + 1)).toBe('Wed 25 to Thu 26 Nov')
  })
})

describe('a late consignment', () => {
  const forecast = { risk: 0.95 } as SampleForecast

  test('says what is to be done about it', () => {
    const desk = { ...NOBODY, laboratories: ['LAB'] }
    const at = (samples: JudgedRow[], reader = ADMINISTRATOR) =>
      formatLateAction(english, { samples, service: 'Road freight' }, reader)
    const underWay = row({
      judgement: {
        acts: [act('ask the carrier', 'programme', { isUrgent: true }), act('receive it', 'laboratory')],
      },
    })
    const delivered = row({ judgement: { acts: [act('receive it', 'laboratory', { isUrgent: true })] } })
    const held = row({ judgement: { acts: [act('have it released', 'programme')] } })
    expect(at([underWay])).toBe('Ask the carrier (Road freight).')
    expect(at([underWay, underWay], desk)).toBe('Ask the carrier (Road freight).')
    expect(at([delivered])).toBe('Ask the laboratory to record its receipt.')
    expect(at([delivered, held], desk)).toBe('Record its receipt. Ask for its release.')
    expect(at([row()])).toBe('')
  })

  test('says the chance to miss', () => {
    expect(formatLimitStatus(english, { samples: [row({ forecast })] })).toBe(
      'The chance of missing its limit is 95 in 100.',
    )
  })

  test('says what is in question, and whether it may be loaded', () => {
    const doubtful = row({ judgement: { fitness: 'in question', restraint: 'do not load' } })
    const hasty = row({ judgement: { fitness: 'in question' } })
    expect(formatQuestion(english, { samples: [doubtful] })).toBe(
      'in question: do not load before the ruling',
    )
    expect(formatQuestion(english, { samples: [hasty, row()] })).toBe('1 in question')
    expect(formatQuestion(english, { samples: [row()] })).toBe(null)
  })
})
