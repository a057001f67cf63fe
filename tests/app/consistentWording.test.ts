import { describe, expect, test } from 'vitest'
import { formatKitCode } from '@/lib/custody/kitCode'
import { ALERTS } from '@/lib/digest/alerts/alertText'
import { createDateFormat } from '@/lib/digest/weekly/dateFormat'
import type { DigestItem } from '@/lib/digest/weekly/item'
import { describeItem } from '@/lib/digest/weekly/itemText'
import { toSampleItems } from '@/lib/digest/weekly/sampleItems'
import { MILESTONES } from '@/lib/hold/milestone'
import { DAY } from '@/lib/hold/zone'
import { describeOverdue } from '@/lib/judgement/dueText'
import type { ActingRoles } from '@/lib/judgement/responsibility'
import { english } from '@/lib/messages/english'
import type { Actor } from '@/lib/schedule/act'
import { AWAITED_LABELS } from '@/lib/schedule/milestoneText'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import type { SampleDossier } from '@/lib/store/read/sample/sampleDossier'
import { ADMINISTRATOR, NOBODY } from '@/tests/judgement/responsibleViewer'
import { clock, row } from './sampleRows'

const CUT_AT = Date.parse('2026-11-02T10:00:00Z')
const NOW = CUT_AT + 9 * DAY
const READERS: Record<Actor['by'], ActingRoles> = {
  programme: ADMINISTRATOR,
  plant: { ...NOBODY, plants: ['PL1'] },
  laboratory: { ...NOBODY, laboratories: ['LAB'] },
}
const words = createDateFormat(english, 'en-GB', { zone: 'Europe/Lisbon', asOf: NOW })
const names = { places: new Map<string, string>(), products: new Map<string, string>() }
const CODE = formatKitCode(row().code)
/** An act without the details in brackets, and without what to record. */
const bare = (act: string) => act.replace(/ \([^)]*\)/, '').replace(' and record it', '')

function describeInAlert(kind: 'at risk' | 'lapsed', sample: SampleRow, reader: ActingRoles) {
  const [plant, laboratory] = [{ zone: 'Europe/Lisbon' }, { name: 'Laboratory' }]
  const dossier = { row: sample, plant, laboratory } as SampleDossier
  return ALERTS[kind].describe(english, dossier, words, {
    ...reader,
    language: 'en-GB',
    zone: 'Europe/Lisbon',
  })
}

function inMailAtOnce(kind: 'at risk' | 'lapsed', sample: SampleRow, reader: ActingRoles) {
  const described = describeInAlert(kind, sample, reader)
  return described === null ? null : bare(described.next.act)
}

describe('the next step of a sample at risk', () => {
  const stages = MILESTONES.filter((one) => one !== 'reported')
  test.each(stages)('that is %s is the same in the weekly mail and in one at once', (stage) => {
    const sample = row({ standing: 'at risk', stage, stageAt: CUT_AT, binding: clock({ startedAt: CUT_AT }) })
    const [item] = toSampleItems([sample], [], new Set(), NOW) as [DigestItem]
    const reader = READERS[item.actor.by]
    const basis = { names, zones: new Map(), dates: words, reader, showsPlant: false }
    const weekly = bare(describeItem(english, item, basis).act)
    expect(inMailAtOnce('at risk', sample, reader)).toBe(weekly)
  })
})

test('what is to be done about a lapsed sample is the same in both mails', () => {
  const over = clock({ startedAt: CUT_AT })
  const sample = row({ standing: 'lapsed', stage: 'received', binding: over, lapsed: over })
  const later = CUT_AT + 11 * DAY
  const overdue = {
    kind: 'lapsed with no re-collection' as const,
    actor: { by: 'programme' as const },
    sinceAt: later,
    zone: 'UTC',
    plant: 'PL1',
    laboratory: 'LAB',
    product: null,
    sample: sample.code,
    duty: null,
    number: null,
    reason: 'lapsed' as const,
    deviation: null,
    found: null,
    service: null,
    spare: null,
    subject: 'any',
  }
  expect(inMailAtOnce('lapsed', sample, READERS.programme)).toBe(
    bare(describeOverdue(english, overdue, names).act),
  )
  expect(inMailAtOnce('lapsed', sample, READERS.laboratory)).toBe(`See ${CODE}`)
})

describe.each(['duplicate', 'retained'])(
  'of a %s sample that has lapsed, which no duty asks for,',
  (purpose) => {
    const over = clock({ startedAt: CUT_AT })
    const sample = row({ standing: 'lapsed', stage: 'received', purpose, binding: over, lapsed: over })

    test.each(['programme', 'plant', 'laboratory'] as const)('the %s is asked for nothing', (by) => {
      const told = describeInAlert('lapsed', sample, READERS[by])
      expect(told).toMatchObject({ isTheirs: false, asksToCut: false })
      expect(told?.next).toMatchObject({
        act: `See ${CODE}`,
        path: `/samples/${sample.code}`,
        because: { one: 'It has lapsed, and the testing schedule requires no sample of its kind.' },
      })
    })
  },
)

test('a milestone is asked for and awaited in words of its own', () => {
  expect(english('milestone.loaded.askWhen')).toBe('Ask when it went into the chamber')
  expect(english('milestone.conditioned.askWhen')).toBe('Ask when its conditioning began')
  expect(english(AWAITED_LABELS.dispatched)).toBe('in the carrier’s hands')
})
