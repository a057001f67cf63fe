import { execFile } from 'node:child_process'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { parse } from 'csv-parse/sync'
import { expect, test } from 'vitest'

const ROOT = fileURLToPath(new URL('../..', import.meta.url))
const AUTUMN = join(ROOT, 'tests/reference/autumn')

/** Runs the command as a person would. */
function runBacktest(...options: string[]): Promise<{ code: number; stdout: string; stderr: string }> {
  const command = ['--import', 'tsx', 'lib/commands/backtest.ts', ...options]
  return new Promise((resolve) => {
    execFile(process.execPath, command, { cwd: ROOT }, (error, stdout, stderr) =>
      resolve({ code: error ? Number(error.code) : 0, stdout, stderr }),
    )
  })
}

const runOnAutumn = (now: string, ...more: string[]) =>
  runBacktest(
    '--register',
    join(AUTUMN, 'register.json'),
    '--events',
    join(AUTUMN, 'events.ndjson'),
    '--now',
    now,
    ...more,
  )

test('backtest prints a row for all forecasts, one for the first forecasts, and one for each lane', async () => {
  const { code, stdout, stderr } = await runOnAutumn('2027-01-10T12:00:00Z')
  expect(code).toBe(0)
  const rows: Record<string, string>[] = parse(stdout, { columns: true })
  expect(rows.map(({ of }) => of)).toEqual(['all', 'at dispatch', ...Array(rows.length - 2).fill('lane')])
  expect(rows.length).toBeGreaterThan(3)
  const [all, , ...lanes] = rows as [
    Record<string, string>,
    Record<string, string>,
    ...Record<string, string>[],
  ]
  const sum = (column: string) => lanes.reduce((total, row) => total + Number(row[column]), 0)
  expect(sum('forecasts')).toBe(Number(all.forecasts))
  expect(sum('consignments')).toBe(Number(all.consignments))
  for (const row of rows) {
    const brier = Number(row.brier)
    expect(brier >= 0 && brier <= 1).toBe(true)
    for (const column of Object.keys(row).filter((name) => name.startsWith('brier_'))) {
      const rule = Number(row[column])
      if (rule > 0) expect(Number(row[column.replace('brier', 'skill')])).toBeCloseTo(1 - brier / rule, 2)
    }
  }
  expect(stderr).toMatch(/^not scored: \d+ limits on samples, /m)
})

test('backtest --json adds the bins of the reliability diagram to each row', async () => {
  const { code, stdout } = await runOnAutumn('2027-01-10T12:00:00Z', '--json')
  expect(code).toBe(0)
  const [all] = stdout
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line))
  expect(all).toMatchObject({ of: 'all', plant: null })
  const forecasts = all.bins.reduce((sum: number, bin: { forecasts: number }) => sum + bin.forecasts, 0)
  expect(forecasts).toBe(all.forecasts)
  expect(Object.keys(all.bins[0])).toEqual([
    'from',
    'to',
    'said',
    'came',
    'low',
    'high',
    'forecasts',
    'consignments',
    'effective',
  ])
})

test('backtest says that nothing can be scored yet, and which options it needs', async () => {
  const early = await runOnAutumn('2020-01-01T00:00:00Z')
  expect(early).toMatchObject({ code: 0, stdout: '' })
  expect(early.stderr).toContain('Nothing to score yet')
  const bare = await runBacktest('--register', join(AUTUMN, 'register.json'))
  expect(bare).toMatchObject({ code: 2, stdout: '' })
  expect(bare.stderr).toContain('Usage: npm run -s backtest')
})
