import { createElement } from 'react'
import { renderToStaticMarkup } from 'react-dom/server'
import { describe, expect, test } from 'vitest'
import { readDueFilter } from '@/app/due/dueFilter'
import { buildDueView } from '@/app/due/dueView'
import { OverdueLists } from '@/app/due/OverdueLists'
import { MAX_OVERDUE } from '@/app/due/ShowAll'
import { english } from '@/lib/messages/english'
import { NO_ROLES } from '@/lib/policy/personRoles'
import type { Person } from '@/lib/policy/principal'
import type { Actor } from '@/lib/schedule/act'
import type { Overdue } from '@/lib/schedule/overdueKinds'

const NOW = Date.UTC(2026, 10, 24, 12)
const OFFICE: Person = {
  kind: 'person',
  id: 'p',
  email: 'office@test.invalid',
  name: 'Wenna Ardle',
  roles: { ...NO_ROLES, isAdministrator: true },
}

/** So many reports that are late, of someone, the first of them the longest. */
const late = (actor: Actor, count: number): Overdue[] =>
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
    deviation: null,
    subject: `late/${actor.by}/${n}`,
  }))

/** The page's list of all that is overdue. */
function listOf(overdue: Overdue[], { isWhole = false, subject = null as string | null } = {}): string {
  const work = {
    asOf: NOW,
    owed: [],
    overdue: overdue,
    setAside: [],
    places: new Map(),
    products: new Map(),
    zones: new Map(),
  }
  const view = buildDueView(
    english,
    work,
    { overdue, losses: new Map() },
    OFFICE,
    readDueFilter(() => null),
    isWhole,
  )
  const leaving = { subject, until: '', reason: '', faults: [] }
  return renderToStaticMarkup(createElement(OverdueLists, { view, leaving }))
}

const PROGRAMME: Actor = { by: 'programme' }
const LABORATORY: Actor = { by: 'laboratory', code: 'LAB' }
const count = (html: string, word: string) => html.split(word).length - 1

describe('a list of what is overdue', () => {
  test('is whole as long as it is short', () => {
    const html = listOf([...late(PROGRAMME, 100), ...late(LABORATORY, 50)])
    expect(count(html, '<summary>Leave aside')).toBe(MAX_OVERDUE)
    expect(html).not.toContain('not shown')
  })

  test('shows one’s own first and then others’, and says how many more there are and how to see them', () => {
    const html = listOf([...late(PROGRAMME, 100), ...late(LABORATORY, 80)])
    expect(count(html, '<summary>Leave aside')).toBe(MAX_OVERDUE)
    expect(html).toContain('80 things')
    expect(html).toContain('30 more things are not shown.')
    expect(html).toContain('href="/due?all=yes"')
    const crowded = listOf([...late(PROGRAMME, 151), ...late(LABORATORY, 1)])
    expect(crowded).toContain('One more thing is not shown.')
    expect(count(crowded, 'One more thing is not shown.')).toBe(2)
  })

  test('shows all where that is asked for, and always what a form was filled in for', () => {
    const all = [...late(PROGRAMME, 200), ...late(LABORATORY, 100)]
    expect(count(listOf(all, { isWhole: true }), '<summary>Leave aside')).toBe(300)
    const html = listOf(all, { subject: 'late/laboratory/77' })
    expect(html).toContain('value="late/laboratory/77"')
    expect(html).toContain('id="leaving"')
  })
})
