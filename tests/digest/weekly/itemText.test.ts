import { describe, expect, test } from 'vitest'
import { createDateFormat } from '@/lib/digest/weekly/dateFormat'
import type { Digest } from '@/lib/digest/weekly/digest'
import type { DigestItem } from '@/lib/digest/weekly/item'
import { describeItem } from '@/lib/digest/weekly/itemText'
import { formatLine } from '@/lib/digest/weekly/lineText'
import { renderContent } from '@/lib/digest/weekly/mailContent'
import { createLineRenderer } from '@/lib/digest/weekly/sections'
import { OVERDUE_KINDS, type OverdueKind } from '@/lib/judgement/overdueKinds'
import { resolutionPath } from '@/lib/judgement/resolutionPath'
import { compareUrgency } from '@/lib/judgement/urgency'
import { english } from '@/lib/messages/english'
import { makeOverdue } from '../../judgement/overdueCases'
import { ADMINISTRATOR, NOBODY } from '../../judgement/responsibleViewer'
import { createDigestPerson } from '../digestPerson'

const AS_OF = Date.UTC(2026, 10, 26, 12)
const SINCE = Date.UTC(2026, 10, 25, 23, 59, 59, 999)
const NAMES = {
  places: new Map([
    ['MILL', 'Aspen Mill'],
    ['NORTH', 'North Chambers'],
  ]),
  products: new Map([['TILE', 'Loop tile']]),
}

function overdue(kind: OverdueKind, more: Partial<DigestItem> = {}, at = SINCE): DigestItem {
  const subject = `${kind}/7KQ2M94Y`
  const [plant, actor] = ['MILL', { by: 'plant' as const, code: 'MILL' }]
  const real = makeOverdue(kind)
  const sample = real.sample && '7KQ2M94Y'
  return {
    reason: {
      kind: 'overdue',
      overdue: { ...real, actor, sinceAt: at, zone: 'Europe/London', plant, sample, subject },
    },
    key: subject,
    plant,
    actor,
    sample: null,
    restraint: null,
    isUrgent: true,
    loss: null,
    at,
    ...more,
  }
}

const basis = (zone: string, namesPlant = true) => ({
  names: NAMES,
  zones: new Map<string, string>(),
  dates: createDateFormat(english, 'en-GB', { zone, asOf: AS_OF }),
  reader: ADMINISTRATOR,
  showsPlant: namesPlant,
})

function sentence(item: DigestItem, zone = 'Europe/London'): string {
  const line = createLineRenderer('', new Set())({ item, text: describeItem(english, item, basis(zone)) })
  return formatLine(english, line, true)
}

describe('each kind of what is overdue', () => {
  test.each(OVERDUE_KINDS)(
    'says what to do, for which plant and since when, and links to the page that settles it: %s',
    (kind) => {
      const item = overdue(kind)
      const said = sentence(item)
      expect(said).toMatch(/^[A-Z].+ \(.*Aspen Mill\).*\. .*Wed 25 November.*\.$/)
      expect(said).toContain('Loop tile')
      if (makeOverdue(kind).sample !== null) expect(said).toContain('7KQ2-M94Y')
      expect(said).not.toMatch(/undefined|null|\bit it\b/)
      if (item.reason.kind !== 'overdue') throw new Error('It is overdue.')
      for (const reader of [ADMINISTRATOR, { ...NOBODY, plants: ['MILL'] }, NOBODY]) {
        const { path } = describeItem(english, item, { ...basis('UTC'), reader })
        expect(path).toBe(resolutionPath(item.reason.overdue, reader))
        expect(path).toMatch(/^\/(samples|setup|due)/)
      }
    },
  )

  test('says what to record, too', () => {
    expect(sentence(overdue('not cut'))).toBe(
      'Cut 7KQ2-M94Y (Loop tile; Aspen Mill) and record it. Due Wed 25 November.',
    )
  })
})

describe('a day', () => {
  test('is shown with its zone only if the reader’s clock shows another time', () => {
    expect(sentence(overdue('not cut'), 'Europe/Lisbon')).toContain('Due Wed 25 November.')
    expect(sentence(overdue('not cut'), 'Asia/Tokyo')).toContain('Due Wed 25 November (London).')
  })

  test('more than half a year away is shown with its year', () => {
    expect(sentence(overdue('not cut', {}, Date.UTC(2025, 10, 25, 12)))).toContain(
      'Due Tue, 25 November 2025.',
    )
  })
})

describe('what waiting costs', () => {
  const sample = { code: '7KQ2M94Y', milestones: [] as object[] } as DigestItem['sample']
  const report = {
    kind: 'report' as const,
    at: Date.UTC(2026, 11, 15, 23, 59, 59, 999),
    zone: 'Europe/London',
    lastCut: null,
  }
  const cut = (day: number | null) =>
    sentence(overdue('not cut', { sample, loss: { ...report, lastCut: { day, zone: 'Europe/London' } } }))

  test('names the last day to cut a sample for its report to be in time', () => {
    expect(cut(20_788)).toContain(
      'has to be out by Tue 15 December. The report can still be in time if 7KQ2-M94Y is cut by Tue 1 December and travels as fast as half of all shipments on its lane.',
    )
    expect(cut(null)).toContain('The report can hardly be in time any more, even if 7KQ2-M94Y is cut today.')
  })

  test('names the day where the deadline is the end of one by the reader’s clock', () => {
    const loss = {
      kind: 'sample' as const,
      at: Date.UTC(2026, 10, 26, 23, 59, 59, 999),
      zone: 'Europe/London',
      milestone: 'loaded' as const,
    }
    const lost = (zone: string) => sentence(overdue('not loaded in time', { sample, loss }), zone)
    expect(lost('Europe/London')).toContain('by the end of Thu 26 November, or it lapses')
    expect(lost('Europe/Paris')).toMatch(/by Fri 27 November at 00:59 Paris, or it lapses/)
  })

  test('says of a report that it is due, since a late one lapses nothing', () => {
    const at = Date.UTC(2026, 10, 26, 12)
    const loss = { kind: 'sample' as const, at, zone: 'Europe/London', milestone: 'reported' as const }
    const text = sentence(overdue('report late', { sample, loss }))
    expect(text).toContain('The report on 7KQ2-M94Y has to be issued by Thu 26 November at 12:00 London.')
    expect(text).not.toContain('lapses')
  })
})

describe('most urgent', () => {
  const loss = (at: number) => ({
    loss: { kind: 'sample' as const, at, zone: 'UTC', milestone: 'loaded' as const },
  })

  test('is what can still be saved, the soonest lost first, then the latest to become late', () => {
    const items = [
      overdue('report late', { key: 'late for a day' }, AS_OF - 1),
      overdue('form copy missing', { key: 'late for long' }, AS_OF - 99),
      overdue('not loaded in time', { key: 'lost next week', ...loss(AS_OF + 99) }, AS_OF - 500),
      overdue('not loaded in time', { key: 'lost tomorrow', ...loss(AS_OF + 1) }, AS_OF - 2),
    ]
    expect([...items].sort(compareUrgency).map(({ key }) => key)).toEqual([
      'lost tomorrow',
      'lost next week',
      'late for a day',
      'late for long',
    ])
  })
})

describe('a long list', () => {
  test('is cut, and says how many more there are and where', () => {
    const toDo = Array.from({ length: 60 }, (_, index) => overdue('not cut', { key: `not cut/${index}` }))
    const digest: Digest = {
      week: '2026-W48',
      person: PERSON,
      asOf: AS_OF,
      alsoFor: [],
      seesAll: false,
      reader: PERSON,
      names: NAMES,
      zones: new Map(),
      toDo,
      others: [],
      changed: { since: AS_OF - 7, added: new Set(['not cut/0']), settledCount: 2 },
      setAsideCount: 0,
      upcoming: [],
      inactive: [],
      badAddresses: [],
      backup: null,
      keyWarnings: null,
    }
    const { sections, subject } = renderContent(
      english,
      digest,
      'https://holdfast.example',
      'https://holdfast.example/stop',
    )
    expect(subject).toBe('Holdfast 2026-W48: 60 overdue tasks are yours')
    const lines = sections[0]?.groups.flatMap((group) => group.lines) ?? []
    expect(lines).toHaveLength(40)
    expect(lines.filter(({ isNew }) => isNew)).toHaveLength(1)
    expect(sections[0]?.more).toEqual({
      text: 'And 20 more: see what is due',
      url: 'https://holdfast.example/due',
    })
    expect(sections[1]?.note).toBe('1 task is new and marked so. 2 tasks in that mail are no longer overdue.')
  })
})

const PERSON = createDigestPerson({ zone: 'Europe/London', plants: ['MILL'] })
