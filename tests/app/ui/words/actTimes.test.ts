import { expect, test } from 'vitest'
import { formatAct } from '@/app/ui/words/act'
import { DAY } from '@/lib/hold/zone'
import { type ActName, SAMPLE_ACTS } from '@/lib/judgement/acts'
import { makeAct, type NextAct } from '@/lib/judgement/nextAct'
import { english } from '@/lib/messages/english'
import { message } from '@/lib/messages/message'
import { ADMINISTRATOR, NOBODY } from '../../../judgement/responsibleViewer'
import { judgedRow } from '../../sampleRows'

const NOW = Date.parse('2026-11-10T12:00:00Z')
const TIMES: readonly Partial<NextAct>[] = [
  {},
  { byAt: NOW + DAY },
  { byAt: NOW - DAY },
  { notBeforeAt: NOW + 1 },
  { notBeforeAt: NOW + 1, byAt: NOW + DAY },
]

// To be read: every line has to make sense to whoever has to do it, and to whoever has to ask for it.
test('every act reads as a sentence, whatever its time', async () => {
  const row = judgedRow()
  const lines = (Object.keys(SAMPLE_ACTS) as ActName[]).flatMap((name) =>
    [ADMINISTRATOR, NOBODY].flatMap((reader) =>
      TIMES.map((times) => {
        const next = { ...makeAct(NOW, name, { by: 'programme' }, message('act.cutAnew.why')), ...times }
        const { text, when } = formatAct(english, next, { ...row, sample: row.code }, row.zones, reader, NOW)
        return [text, when].filter((part) => part !== null).join(' ')
      }),
    ),
  )
  expect(lines).toHaveLength(2 * TIMES.length * Object.keys(SAMPLE_ACTS).length)
  await expect(`${[...new Set(lines)].join('\n')}\n`).toMatchFileSnapshot('actTimes.txt')
})
