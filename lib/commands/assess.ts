import { parseArgs } from 'node:util'
import { stringify } from 'csv-stringify/sync'
import { samplesOf, withoutRepetitions } from '@/lib/custody/assess'
import { keyOf } from '@/lib/custody/event'
import { isFault, readAt } from '@/lib/custody/reading'
import { entriesOf, kitOf, Register } from '@/lib/custody/register'
import { parseRegister, type RegisterDocument } from '@/lib/custody/registerDocument'
import { assessmentOf } from '@/lib/custody/sample'
import type { BodyFormat } from '@/lib/intake/body'
import { type IntakeItem, readEvents } from '@/lib/intake/readEvents'
import { readText, runOnFiles, Unusable } from './files'

/**
 * Judges every clock of a register and a file of events, with no database: CSV (or JSON lines) on standard output.
 * Exit 0; 1 on a conflict (no table); 2 where a file or an option cannot be used; 3 where lines were refused.
 */
const USAGE =
  'Usage: npm run -s assess -- --register register.json --events events.ndjson|events.csv|events.json --now 2026-11-10T12:00:00Z [--json]'

function options() {
  try {
    const { values } = parseArgs({
      options: {
        register: { type: 'string' },
        events: { type: 'string' },
        now: { type: 'string' },
        json: { type: 'boolean', default: false },
      },
    })
    if (!values.register || !values.events || !values.now)
      throw new Error('--register, --events and --now are needed.')
    const now = readAt(values.now, null, null)
    if (isFault(now)) throw new Error(`--now: ${now.detail} ${now.right}`)
    return { register: values.register, events: values.events, now: now.earliestAt, json: values.json }
  } catch (error) {
    throw new Unusable(`${(error as Error).message}\n${USAGE}`)
  }
}

function readRegister(path: string): RegisterDocument {
  let input: unknown
  try {
    input = JSON.parse(readText(path))
  } catch (error) {
    throw error instanceof Unusable ? error : new Unusable(`${path} is not JSON: ${(error as Error).message}`)
  }
  const { document, problems } = parseRegister(input)
  if (document) return document
  throw new Unusable(
    [
      `${path} is not a register that can be used:`,
      ...problems.map(({ pointer, detail }) => `  ${pointer || '/'}: ${detail}`),
    ].join('\n'),
  )
}

function readItems(path: string, zoneOfPlace: (code: string | null) => string | null): IntakeItem[] {
  const format: BodyFormat = path.endsWith('.csv') ? 'csv' : path.endsWith('.json') ? 'json' : 'ndjson'
  try {
    return readEvents(readText(path), format, zoneOfPlace)
  } catch (error) {
    throw error instanceof SyntaxError ? new Unusable(`${path}: ${error.message}`) : error
  }
}

const COLUMNS = ['sample', 'limit', 'state', 'startedAt', 'dueAt', 'stoppedAt'] as const

function main(): number {
  const { register: registerPath, events: eventsPath, now, json } = options()
  const document = readRegister(registerPath)
  const register = new Register(entriesOf(document, Number.NEGATIVE_INFINITY))
  const items = readItems(eventsPath, (code) => register.zoneOfPlace(code))
  for (const { item, line, problem } of items)
    if (problem)
      for (const { pointer, detail, right } of problem.errors ?? [])
        console.error(
          `refused ${line === null ? `item ${item}` : `line ${line}`} ${pointer}: ${detail} ${right}`.replace(
            ' :',
            ':',
          ),
        )
  const { events, conflicts } = withoutRepetitions(items.flatMap(({ event }) => event ?? []))
  for (const { key, events: pair } of conflicts)
    console.error(
      `conflict: ${key} was reported twice with different content:\n  ${pair.map((event) => JSON.stringify(event)).join('\n  ')}`,
    )
  if (conflicts.length > 0) {
    console.error(
      `No table: ${conflicts.map(({ events: pair }) => pair.map(keyOf).join(' and ')).join('; ')} cannot both stand.`,
    )
    return 1
  }
  const kits = new Map(document.kits.map((content) => [content.code, kitOf(content)]))
  const iso = (at: number | null) => (at === null ? '' : new Date(at).toISOString())
  const rows = samplesOf(events, kits, register, now)
    .flatMap((sample) => assessmentOf(sample, now))
    .map((row) => ({
      ...row,
      startedAt: iso(row.startedAt),
      dueAt: iso(row.dueAt),
      stoppedAt: iso(row.stoppedAt),
    }))
  process.stdout.write(
    json
      ? rows.map((row) => `${JSON.stringify(row)}\n`).join('')
      : stringify(rows, { header: true, columns: [...COLUMNS] }),
  )
  return items.some(({ problem }) => problem) ? 3 : 0
}

runOnFiles(main)
