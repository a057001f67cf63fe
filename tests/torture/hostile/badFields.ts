import { EVENT_KINDS } from '@/lib/custody/event'
import { pick, REGISTER } from '../programme'
import type { HostileRequest } from './hostileRequest'
import { STRANGE_NUMBERS, strangeText } from './strangeTexts'

const FIELDS = [
  ...['source', 'id', 'sample', 'kind', 'at', 'reportedAt', 'zone', 'place', 'service', 'waybill'],
  ...['product', 'lot', 'corrects', 'facts', '__proto__', 'constructor', 'unknown key', ''],
]

const TIMES = [
  ...['0000-01-01T00:00:00Z', '9999-12-31T23:59:60Z', '+275760-09-13T00:00:00Z', '-271821-04-20T00:00:00Z'],
  ...[
    '2026-02-30',
    '2026-13-01',
    '2026-11-30T24:00:00Z',
    '2026-11-30T25:00:00Z',
    '2026-11-30T12:00:00+99:99',
  ],
  ...[
    '2026-11-01T01:30:00',
    '2026-03-08T02:30:00',
    '2026-W49-1',
    '1764504000',
    'now',
    '2026-11-30T12:00:00.1234567890123Z',
  ],
  ...['2026-11-30t12:00:00z', '２０２６-11-30', '2026-11-30T12:00:00-00:00', '1-1-1', '99999-01-01'],
]
const ZONES = [
  'Etc/GMT+14',
  'europe/lisbon',
  'UTC',
  'Mars/Olympus',
  '+01:00',
  'US/Eastern',
  '',
  'posixrules',
  'Factory',
]

/** The text of a JSON value of any type, strange more often than not. */
function strangeValue(random: () => number, depth = 0): string {
  const roll = random()
  if (roll < 0.4) return JSON.stringify(strangeText(random))
  if (roll < 0.55) return pick(random, STRANGE_NUMBERS)
  if (roll < 0.7) return pick(random, ['null', 'true', 'false', '[]', '{}', '""', '[[]]', '[null]'])
  if (depth > 4) return '0'
  const parts = Array.from({ length: Math.floor(random() * 4) }, () => strangeValue(random, depth + 1))
  if (roll < 0.85) return `[${parts.join(',')}]`
  return `{${parts.map((part) => `${JSON.stringify(strangeText(random))}:${part}`).join(',')}}`
}

/**
 * Events that are JSON and that have one or more fields of another type, size or meaning than any event has. Some are
 * nevertheless valid, as a strange id is.
 */
export function makeBadFields(random: () => number, number: number): HostileRequest {
  const events = Array.from({ length: 1 + Math.floor(random() * 5) }, (_, index) => {
    const event = new Map<string, string>([
      ['source', '"hostile"'],
      ['id', `"${number}-${index}"`],
      ['sample', JSON.stringify(pick(random, REGISTER.kits).code)],
      ['kind', JSON.stringify(pick(random, EVENT_KINDS))],
      ['at', '"2026-11-20T12:00:00Z"'],
      ['facts', '{"what":"a scratch","limit":"cut to chamber","until":"2026-12-24","ruling":"reject"}'],
    ])
    for (let change = Math.floor(random() * 3); change >= 0; change--) {
      const roll = random()
      if (roll < 0.2) event.set('at', JSON.stringify(pick(random, TIMES)))
      else if (roll < 0.3) event.set('zone', JSON.stringify(pick(random, ZONES)))
      else if (roll < 0.4) event.set('corrects', `"hostile/${Math.floor(random() * (number + 2))}-0"`)
      else if (roll < 0.5) event.delete(pick(random, FIELDS))
      else event.set(pick(random, FIELDS), strangeValue(random))
    }
    const fields = [...event].map(([name, value]) => `${JSON.stringify(name)}:${value}`)
    // A key that stands twice: the second counts.
    if (random() < 0.1) fields.push(pick(random, fields))
    return `{${fields.join(',')}}`
  })
  const isLines = random() < 0.3
  return {
    kind: 'fields',
    body: isLines ? events.join('\n') : events.length === 1 ? (events[0] ?? '') : `[${events.join(',')}]`,
    headers: { 'content-type': isLines ? 'application/x-ndjson' : 'application/json' },
  }
}
