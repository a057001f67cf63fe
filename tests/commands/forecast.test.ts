import { execFile } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'

const ROOT = fileURLToPath(new URL('../..', import.meta.url))
const NOW = '2026-11-10T12:00:00Z'
const REGISTER = join(ROOT, 'tests/reference/autumn/register.json')
const EVENTS = join(ROOT, 'tests/reference/autumn/events.ndjson')

let folder = ''
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'forecast-'))
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

interface Outcome {
  code: number
  stdout: string
  stderr: string
}

/** Runs the command as a person would. */
function runForecast(...options: string[]): Promise<Outcome> {
  const command = ['--import', 'tsx', 'lib/commands/forecast.ts', ...options]
  return new Promise((resolve) => {
    execFile(process.execPath, command, { cwd: ROOT }, (error, stdout, stderr) =>
      resolve({ code: error ? Number(error.code) : 0, stdout, stderr }),
    )
  })
}

const run = (register: string, events: string, ...more: string[]) =>
  runForecast('--register', register, '--events', events, '--now', NOW, ...more)

function writeInput(name: string, text: string): string {
  const path = join(folder, name)
  writeFileSync(path, text)
  return path
}

const parseRows = (csv: string) =>
  csv
    .trimEnd()
    .split('\n')
    .map((line) => line.split(','))

describe('forecast prints', () => {
  test('a row for every running clock, by sample and limit, and for no other', async () => {
    const { code, stdout, stderr } = await run(REGISTER, EVENTS)
    expect([code, stderr]).toEqual([0, ''])
    const [head, ...rows] = parseRows(stdout)
    expect(head).toEqual(['sample', 'limit', 'risk', 'standing', 'p10', 'p50', 'p90'])
    const expected = parseRows(readFileSync(join(ROOT, 'tests/reference/autumn/expected.csv'), 'utf8'))
    const running = expected.filter(([, , state]) => state === 'running').map((row) => row.slice(0, 2))
    expect(rows.map((row) => row.slice(0, 2))).toEqual(running)
    expect(running.length).toBeGreaterThan(30)
  })

  test('chances, the standings that follow from them, and dates in order', async () => {
    const { stdout } = await run(REGISTER, EVENTS)
    const [, ...rows] = parseRows(stdout)
    for (const [sample, limit, risk, standing, p10, p50, p90] of rows) {
      const chance = Number(risk)
      expect(risk, `${sample} ${limit}`).toMatch(/^(0|1|0\.\d+)$/)
      if (chance >= 0.2) expect(standing).toBe('at risk')
      else expect(standing === 'at risk' || standing === (chance >= 0.05 ? 'tight' : 'sound')).toBe(true)
      const dates = [p10, p50, p90].filter((date) => date !== '')
      expect(dates).toEqual([...dates].sort())
      for (const date of dates) expect(date).toMatch(/^\d{4}-\d\d-\d\d$/)
      // If one quantile is empty, so are the later ones.
      expect([p10, p50, p90].slice(dates.length)).toEqual(Array(3 - dates.length).fill(''))
    }
  })

  test('the same with the lines in reverse and every one of them twice', async () => {
    const lines = readFileSync(EVENTS, 'utf8').trimEnd().split('\n')
    const path = writeInput('reversed.ndjson', [...lines, ...lines].reverse().join('\n'))
    expect(await run(REGISTER, path)).toEqual(await run(REGISTER, EVENTS))
  })

  test('an empty risk, and the standing by the time used, if there is no record', async () => {
    // One sample of 60, with only its cut on 4 November at noon: 144 of 240 hours are used on 10 November.
    const register = JSON.parse(readFileSync(REGISTER, 'utf8'))
    register.protocols[0].limits = [
      { name: 'cut to carrier', from: 'collected', to: 'dispatched', amount: 240, unit: 'hours' },
    ]
    const event = {
      source: 'desk',
      id: '1',
      sample: 'WK5DM3ZT',
      kind: 'collected',
      at: '2026-11-10T11:00:00Z',
    }
    const path = writeInput('one.ndjson', JSON.stringify(event))
    const { code, stdout } = await run(writeInput('register.json', JSON.stringify(register)), path)
    expect(code).toBe(0)
    expect(parseRows(stdout).slice(1)).toEqual([['WK5DM3ZT', 'cut to carrier', '', 'sound', '', '', '']])
    const old = writeInput('old.ndjson', JSON.stringify({ ...event, at: '2026-11-04T12:00:00Z' }))
    // On three workdays it has not left, so there is a record of one shipment that has not arrived.
    const { stdout: later } = await run(join(folder, 'register.json'), old)
    expect(Number(parseRows(later)[1]?.[2])).toBeGreaterThan(0)
  })
})

describe('forecast cannot be used, and says why,', () => {
  test('without options', async () => {
    const { code, stdout, stderr } = await runForecast()
    expect([code, stdout]).toEqual([2, ''])
    expect(stderr).toContain('npm run -s forecast')
  })

  test('with events in conflict, which print no table', async () => {
    const event = (at: string) =>
      JSON.stringify({ source: 'desk', id: 'a1', sample: 'WK5DM3ZT', kind: 'collected', at })
    const path = writeInput(
      'conflict.ndjson',
      `${event('2026-10-20T10:00:00Z')}\n${event('2026-10-20T11:00:00Z')}`,
    )
    const { code, stdout, stderr } = await run(REGISTER, path)
    expect([code, stdout]).toEqual([1, ''])
    expect(stderr).toContain('desk/a1')
  })

  test('and continues without refused lines', async () => {
    const path = writeInput('refused.ndjson', `{"source":"desk"\n${readFileSync(EVENTS, 'utf8')}`)
    const { code, stdout, stderr } = await run(REGISTER, path)
    expect([code, stdout]).toEqual([3, (await run(REGISTER, EVENTS)).stdout])
    expect(stderr).toMatch(/^refused line 1: /)
  })
})
