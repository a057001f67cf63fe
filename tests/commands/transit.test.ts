import { execFile } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { parse } from 'csv-parse/sync'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'

const ROOT = fileURLToPath(new URL('../..', import.meta.url))
// Source of the times: see tests/reference/kaplanMeier.test.ts.
const SIX_MP = '6 6 6 6+ 7 9+ 10 10+ 11+ 13 16 17+ 19+ 20+ 22 23 25+ 32+ 32+ 34+ 35+'.split(' ')
const RECORDS = `steps,arrived\n${SIX_MP.map((time) => `${Number.parseInt(time, 10)},${time.endsWith('+') ? 0 : 1}\n`).join('')}`

let folder = ''
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'transit-'))
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

/** Runs the command on a file with this text, as a person would. */
function runTransit(text: string, ...options: string[]) {
  const path = join(folder, 'records.csv')
  writeFileSync(path, text)
  const command = ['--import', 'tsx', 'lib/commands/transit.ts', '--records', path, ...options]
  return new Promise<{ code: number; stdout: string; stderr: string }>((resolve) => {
    execFile(process.execPath, command, { cwd: ROOT }, (error, stdout, stderr) =>
      resolve({ code: error ? Number(error.code) : 0, stdout, stderr }),
    )
  })
}

const parseTable = (text: string): Record<string, string>[] => parse(text, { columns: true, trim: true })

describe('transit prints', () => {
  test("a row for each distinct step, beyond 30 too, as R's survival package has it", async () => {
    const { code, stdout, stderr } = await runTransit(RECORDS, '--prior', '0')
    expect([code, stderr]).toEqual([0, ''])
    expect(stdout.split('\n')[0]).toBe('step,at_risk,arrived,hazard,not_yet,std_err')
    const published = parseTable(readFileSync(join(ROOT, 'tests/reference/km-6mp.csv'), 'utf8'))
    const rows = parseTable(stdout)
    expect(rows.map((row) => [row.step, row.at_risk, row.arrived])).toEqual(
      published.map((row) => [row.time, row.n_risk, row.n_event]),
    )
    rows.forEach((row, index) => {
      expect(Number(row.not_yet)).toBeCloseTo(Number(published[index]?.surv), 13)
      expect(Number(row.std_err)).toBeCloseTo(Number(published[index]?.std_err), 13)
      expect(Number(row.hazard)).toBe(Number(row.arrived) / Number(row.at_risk))
    })
  })

  test('the same from rows in another order, with unrelated columns', async () => {
    const [, ...lines] = RECORDS.trimEnd().split('\n')
    const turned = lines.reverse().map((line) => line.replace(',', ',by road,'))
    const other = await runTransit(`\uFEFFSteps,how,Arrived\r\n${turned.join('\r\n')}\r\n`, '--prior', '0')
    expect(other).toEqual(await runTransit(RECORDS, '--prior', '0'))
  })

  test('hazards pulled together by a given weight, the more the larger it is', async () => {
    const spread = async (prior: string) => {
      const hazards = parseTable((await runTransit(RECORDS, '--prior', prior)).stdout).map(({ hazard }) =>
        Number(hazard),
      )
      return Math.max(...hazards) - Math.min(...hazards)
    }
    const [none, some, most] = [await spread('0'), await spread('5'), await spread('1000')]
    expect(some).toBeLessThan(none)
    expect(most).toBeLessThan(some)
  })
})

describe('transit refuses, saying what to do', () => {
  test.each([
    [
      'a line that says neither',
      'steps,arrived\n3,1\n4,yes\n',
      1,
      'line 3: arrived is "yes". Write 1 for arrived',
    ],
    [
      'steps that are no whole number',
      'steps,arrived\n2.5,1\n',
      1,
      'line 2: steps is "2.5". Write a whole number',
    ],
    ['a file of no records', 'steps,arrived\n', 1, 'has no records below its header'],
    ['a file without the columns', 'days,arrived\n3,1\n', 2, 'names the columns steps and arrived'],
  ])('%s', async (_, text, code, sentence) => {
    const outcome = await runTransit(text, '--prior', '0')
    expect([outcome.code, outcome.stdout]).toEqual([code, ''])
    expect(outcome.stderr).toContain(sentence)
  })

  test.each(['-1', 'little', ''])('an invalid weight: "%s"', async (prior) => {
    const outcome = await runTransit(RECORDS, `--prior=${prior}`)
    expect([outcome.code, outcome.stdout]).toEqual([2, ''])
    expect(outcome.stderr).toContain(`"${prior}" is not a weight`)
  })

  test('a file that is not there', async () => {
    const outcome = await runTransit(RECORDS, '--records', join(folder, 'nowhere.csv'))
    expect([outcome.code, outcome.stdout]).toEqual([2, ''])
    expect(outcome.stderr).toContain('nowhere.csv cannot be read')
  })
})
