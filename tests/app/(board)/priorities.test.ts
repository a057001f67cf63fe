import { createElement } from 'react'
import { renderToStaticMarkup } from 'react-dom/server'
import { expect, test } from 'vitest'
import { Priorities } from '@/app/(board)/Priorities'
import { English } from '@/app/ui/language/English'
import { ViewerProvider } from '@/app/ui/ViewerProvider'
import type { ActName } from '@/lib/judgement/acts'
import { makeAct } from '@/lib/judgement/nextAct'
import { message } from '@/lib/messages/message'
import { toRoles } from '@/lib/policy/personRoles'
import type { Actor } from '@/lib/schedule/act'
import { judgedRow } from '../sampleRows'

const NOW = Date.UTC(2026, 10, 24, 12)
const WHY = message('overdue.noFormCopy.why')

test('the first sample to be saved has what saves it, and not what else its reader has to do', () => {
  const act = (name: ActName, actor: Actor) => makeAct(NOW, name, actor, WHY, { isUrgent: true })
  const loss = { kind: 'sample', at: NOW + 3_600_000, zone: 'UTC', milestone: 'loaded' } as const
  const acts = [
    { ...act('load it', { by: 'laboratory', code: 'LAB' }), loss },
    act('send the form copy', { by: 'plant', code: 'PL1' }),
  ]
  const plant = { code: 'PL1', name: 'A plant', zone: 'UTC', maker: null }
  const board = { bands: [{ plant, rows: [judgedRow({ judgement: { acts } })] }] }
  const shown = renderToStaticMarkup(
    createElement(
      English,
      null,
      ViewerProvider({
        roles: toRoles([{ role: 'plant contact', place: 'PL1' }]),
        children: createElement(Priorities, { board, now: NOW }),
      }),
    ),
  )
  expect(shown).toContain('Save first:')
  expect(shown).toContain('Ask the laboratory to load it')
  expect(shown).not.toContain('form')
})
