import { stringify } from 'csv-stringify/sync'
import { deriveSamples } from '@/lib/custody/assess'
import { assessClocks } from '@/lib/custody/sample'
import { runFileCommand } from './fileCommand'
import { readInputs } from './fileInputs'

/**
 * Judges every clock of a register and a file of events, without a database. Writes CSV, or JSON lines, to standard
 * output. Exit 0; 1 on a conflict (no table); 2 if a file or an option cannot be used; 3 if lines were refused.
 */
const USAGE =
  'Usage: npm run -s assess -- --register register.json --events events.ndjson|events.csv|events.json --now 2026-11-10T12:00:00Z [--json]'

const COLUMNS = ['sample', 'limit', 'state', 'startedAt', 'dueAt', 'stoppedAt'] as const

runFileCommand(() => {
  const inputs = readInputs(USAGE)
  if (!inputs) return 1
  const { register, kits, events, now, json, hasRefused } = inputs
  const iso = (at: number | null) => (at === null ? '' : new Date(at).toISOString())
  const rows = deriveSamples(events, kits, register, now)
    .flatMap((sample) => assessClocks(sample, now))
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
  return hasRefused ? 3 : 0
})
