import { createElement } from 'react'
import { renderToStaticMarkup } from 'react-dom/server'
import { describe, expect, test } from 'vitest'
import { readDueFilter } from '@/app/due/dueFilter'
import { buildDueView } from '@/app/due/dueView'
import { NextActs } from '@/app/due/NextActs'
import { OverdueLists } from '@/app/due/OverdueLists'
import { English } from '@/app/ui/language/English'
import { formatKitCode } from '@/lib/custody/kitCode'
import { type ActName, SAMPLE_ACTS } from '@/lib/judgement/acts'
import { describeAct } from '@/lib/judgement/actText'
import type { NextAct } from '@/lib/judgement/nextAct'
import { makeResponsible } from '@/lib/judgement/responsibility'
import { english } from '@/lib/messages/english'
import { NO_ROLES } from '@/lib/policy/personRoles'
import type { Person } from '@/lib/policy/principal'
import type { Actor } from '@/lib/schedule/act'
import { act } from '../sampleRows'

const NOW = Date.UTC(2026, 10, 24, 12)
const CODE = '7KQ2M94Y'
const PARTIES: Actor[] = [
  { by: 'programme' },
  { by: 'plant', code: 'PL1' },
  { by: 'laboratory', code: 'LAB' },
  { by: 'plant', code: 'PL2' },
  { by: 'laboratory', code: 'LAB2' },
]

const toPerson = (actor: Actor): Person => ({
  kind: 'person',
  id: 'p',
  email: 'who@test.invalid',
  name: 'Wenna Ardle',
  roles: { ...NO_ROLES, ...makeResponsible(actor) },
})

/** What is due for someone of a party if one act is asked of its actor, as HTML. */
function renderDue(next: NextAct, reader: Actor): string {
  const judgement = {
    sample: CODE,
    standing: 'sound',
    fitness: 'fit',
    restraint: null,
    acts: [next],
  } as const
  const work = {
    asOf: NOW,
    owed: [],
    overdue: [],
    setAside: [],
    judged: [{ sample: CODE, plant: 'PL1', laboratory: 'LAB', product: 'FELT', service: null, judgement }],
    missingRanges: [],
    places: new Map(),
    products: new Map(),
    zones: new Map([
      ['PL1', 'Europe/Lisbon'],
      ['LAB', 'America/New_York'],
    ]),
    officeZone: 'UTC',
  }
  const view = buildDueView(
    english,
    work,
    toPerson(reader),
    readDueFilter(() => null),
    false,
  )
  const input = { subject: null, until: '', reason: '', faults: [] }
  const lists = createElement(OverdueLists, { view, input }, createElement(NextActs, { view }))
  return renderToStaticMarkup(createElement(English, null, lists))
}

describe('what is due', () => {
  test.each(
    (Object.keys(SAMPLE_ACTS) as ActName[]).flatMap((name) =>
      (['programme', 'plant', 'laboratory'] as const).map((by) => [name, by] as const),
    ),
  )('has “%s” of the %s for them, and for nobody else', (name, by) => {
    for (const byAt of [null, NOW - 3_600_000, NOW + 90_000_000]) {
      const next = act(name, by, { byAt })
      for (const reader of PARTIES) {
        const html = renderDue(next, reader)
        const isTheirs = JSON.stringify(reader) === JSON.stringify(next.actor)
        if (!isTheirs) expect(html).toBe('')
        else expect(html).toContain(describeAct(english, next, formatKitCode(CODE), makeResponsible(reader)))
      }
    }
  })

  test('has what cannot wait among what is overdue, by what is lost first', () => {
    const press = (isUrgent: boolean) =>
      renderDue(act('load it', 'laboratory', { isUrgent }), { by: 'laboratory', code: 'LAB' })
    expect(press(true)).toContain('Yours to do')
    expect(press(true)).not.toContain('Yours next')
    expect(press(false)).toContain('Yours next')
    expect(press(false)).not.toContain('Yours to do')
  })

  test('leaves what is late to the list of what is overdue', () => {
    const late = act('load it', 'laboratory', { overdue: { kind: 'not loaded in time', sinceAt: NOW - 1 } })
    expect(renderDue(late, late.actor)).toBe('')
  })

  test('says which time is asked for', () => {
    const time = act('give the time', 'laboratory', { milestone: 'loaded' })
    expect(renderDue(time, time.actor)).toContain('Record when 7KQ2-M94Y went into the chamber')
  })
})
