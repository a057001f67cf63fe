import { expect, test } from 'vitest'
import { formatOccasion, hashFinding, parseOccasion } from '@/lib/digest/alerts/alertOccasion'
import { ALERT_KINDS } from '@/lib/judgement/alertKinds'
import { makeTestDatabase } from '../../setup/database'

test.each(ALERT_KINDS)('an occasion is parsed as it was formatted: %s', (kind) => {
  for (const instance of [null, '1', '12', hashFinding('dock/7#seal')]) {
    const occasion = { kind, code: '7KQ2M94Y', instance }
    expect(parseOccasion(formatOccasion(occasion))).toEqual(occasion)
  }
})

test.each(['2026-W48', 'delayed 7KQ2M94Y', 'lapsed 7KQ2', 'lapsed'])(
  'is not that of an alert: %s',
  (occasion) => {
    expect(parseOccasion(occasion)).toBeNull()
  },
)

test('the database accepts each kind as a choice, and nothing else', async () => {
  const { owner } = await makeTestDatabase()
  const { rows } = await owner.query<{ definition: string }>(
    `select pg_get_constraintdef(oid) as definition from pg_constraint where conname = 'at_once_choice_kind'`,
  )
  const known = [...(rows[0]?.definition ?? '').matchAll(/'([^']+)'::/g)].map(([, name]) => name)
  expect(known.sort()).toEqual([...ALERT_KINDS].sort())
})
