import { createElement } from 'react'
import { renderToStaticMarkup } from 'react-dom/server'
import { describe, expect, test } from 'vitest'
import { readDueFilter } from '@/app/due/dueFilter'
import { buildDueView } from '@/app/due/dueView'
import { OverdueLists } from '@/app/due/OverdueLists'
import { MAX_OVERDUE } from '@/app/due/ShowAll'
import { English } from '@/app/ui/language/English'
import type { Overdue } from '@/lib/judgement/overdueKinds'
import { english } from '@/lib/messages/english'
import { message } from '@/lib/messages/message'
import { NO_ROLES } from '@/lib/policy/personRoles'
import type { Person } from '@/lib/policy/principal'
import type { Actor } from '@/lib/schedule/act'

const NOW = Date.UTC(2026, 10, 24, 12)
const OFFICE: Person = {
  kind: 'person',
  id: 'p',
  email: 'office@test.invalid',
  name: 'Wenna Ardle',
  roles: { ...NO_ROLES, isAdministrator: true },
}

/** Late reports of one actor, the first of them the longest. */
const lateReports = (actor: Actor, count: number): Overdue[] =>
  Array.from({ length: count }, (_, n) => ({
    kind: 'report late',
    actor,
    sinceAt: NOW - (count - n) * 86_400_000,
    zone: 'UTC',
    plant: 'PL1',
    laboratory: 'LAB',
    product: null,
    sample: `${actor.by} ${n}`,
    duty: null,
    number: null,
    reason: null,
    act: 'cut it',
    findings: [],
    why: message('overdue.reportLate.why'),
    service: null,
    spare: null,
    loss: null,
    subject: `late/${actor.by}/${n}`,
  }))

/** The page’s lists of overdue tasks, as HTML. */
function renderLists(overdue: Overdue[], { showsAll = false, subject = null as string | null } = {}): string {
  const work = {
    asOf: NOW,
    owed: [],
    overdue,
    setAside: [],
    judged: [],
    missingRanges: [],
    places: new Map(),
    products: new Map(),
    zones: new Map(),
    officeZone: 'UTC',
  }
  const view = buildDueView(
    english,
    work,
    OFFICE,
    readDueFilter(() => null),
    showsAll,
  )
  const input = { subject, until: '', reason: '', faults: [] }
  const lists = createElement(OverdueLists, { view, input })
  return renderToStaticMarkup(createElement(English, null, lists))
}

const PROGRAMME: Actor = { by: 'programme' }
const LABORATORY: Actor = { by: 'laboratory', code: 'LAB' }
const count = (html: string, word: string) => html.split(word).length - 1

describe('the lists of overdue tasks', () => {
  test('are whole if they are short', () => {
    const html = renderLists([...lateReports(PROGRAMME, 100), ...lateReports(LABORATORY, 50)])
    expect(count(html, '<summary>Set aside until')).toBe(MAX_OVERDUE)
    expect(html).not.toContain('not shown')
  })

  test('show the viewer’s own first, and say how many more there are and how to see them', () => {
    const html = renderLists([...lateReports(PROGRAMME, 100), ...lateReports(LABORATORY, 80)])
    expect(count(html, '<summary>Set aside until')).toBe(MAX_OVERDUE)
    expect(html).toContain('80 tasks')
    expect(html).toContain('30 more tasks are not shown.')
    expect(html).toContain('href="/due?all=yes"')
    const crowded = renderLists([...lateReports(PROGRAMME, 151), ...lateReports(LABORATORY, 1)])
    expect(crowded).toContain('1 more task is not shown.')
    expect(count(crowded, '1 more task is not shown.')).toBe(2)
  })

  test('show all on request, and always the task of a filled-in form', () => {
    const all = [...lateReports(PROGRAMME, 200), ...lateReports(LABORATORY, 100)]
    expect(count(renderLists(all, { showsAll: true }), '<summary>Set aside until')).toBe(300)
    const html = renderLists(all, { subject: 'late/laboratory/77' })
    expect(html).toContain('value="late/laboratory/77"')
    expect(html).toContain('id="leaving"')
  })
})
