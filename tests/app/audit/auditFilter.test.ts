import { expect, test } from 'vitest'
import { formatAuditQuery, parseAuditFields, parseAuditFilter } from '@/app/audit/auditFilter'
import { buildOlderUrl } from '@/app/audit/pageUrls'
import { english } from '@/lib/messages/english'

const fields = (given: Record<string, string>) => parseAuditFields((key) => given[key])

test('days are whole, in UTC, the last one included', () => {
  const { filter, faults } = parseAuditFilter(english, fields({ from: '2026-10-25', until: '2026-10-25' }))
  expect(faults).toEqual({})
  expect(new Date(filter.fromAt as number).toISOString()).toBe('2026-10-25T00:00:00.000Z')
  expect(new Date(filter.untilAt as number).toISOString()).toBe('2026-10-26T00:00:00.000Z')
})

test.each([
  [{ from: '2026-02-30' }, 'from'],
  [{ until: 'yesterday' }, 'until'],
  [{ from: '2026-11-02', until: '2026-11-01' }, 'until'],
  [{ outcome: 'maybe' }, 'outcome'],
])('what cannot be used gets a sentence: %j', (given, name) =>
  expect(Object.keys(parseAuditFilter(english, fields(given)).faults)).toEqual([name]),
)

test('a URL holds the fields that are filled in, and parses back', () => {
  const asked = fields({ who: ' one & two ', outcome: 'refused' })
  expect(buildOlderUrl(formatAuditQuery(asked), '7')).toBe('?who=one+%26+two&outcome=refused&older=7')
  const back = new URLSearchParams(formatAuditQuery(asked))
  expect(parseAuditFields((key) => back.get(key))).toEqual(asked)
  expect(formatAuditQuery(fields({}))).toBe('')
})
