import { expect, test } from 'vitest'
import { toCsvTables } from '@/app/setup/forms/csvEntries'
import { checkedRegister } from '@/tests/cases/smallProgramme'

test('the CSV of a list comes in tables of a few entries, so that a long list is never written at once', () => {
  const services = Array.from({ length: 1_001 }, (_, n) => ({ code: `road${n}`, name: `Road ${n}` }))
  const tables = [...toCsvTables('services', { ...checkedRegister(), services })]
  expect(Math.max(...tables.map((rows) => rows.length))).toBeLessThanOrEqual(200)
  expect(tables.flat()).toHaveLength(1_002)
})
