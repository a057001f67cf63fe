import { execFile } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { CaseName } from '@/tests/cases/sharedCase'

const ROOT = fileURLToPath(new URL('../..', import.meta.url))
const NOW = '2026-11-10T12:00:00Z'
const getCaseFile = (name: CaseName, file: string) => join(ROOT, 'tests/reference', name, file)
const readExpected = (name: CaseName) => readFileSync(getCaseFile(name, 'expected.csv'), 'utf8')

let folder = ''
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'assess-'))
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

function writeInput(name: string, text: string): string {
  const path = join(folder, name)
  writeFileSync(path, text)
  return path
}

interface Outcome {
  code: number
  stdout: string
  stderr: string
}

/** Runs the command as a person would. */
function runAssess(...options: string[]): Promise<Outcome> {
  const command = ['--import', 'tsx', 'lib/commands/assess.ts', ...options]
  return new Promise((resolve) => {
    execFile(process.execPath, command, { cwd: ROOT }, (error, stdout, stderr) =>
      resolve({ code: error ? Number(error.code) : 0, stdout, stderr }),
    )
  })
}

const run = (register: string, events: string, ...more: string[]) =>
  runAssess('--register', register, '--events', events, '--now', NOW, ...more)
const runCase = (name: CaseName, events: string, ...more: string[]) =>
  run(getCaseFile(name, 'register.json'), events, ...more)

describe('assess prints', () => {
  test.each([
    ['autumn', 'events.ndjson'],
    ['autumn', 'events.csv'],
    ['edges', 'events.ndjson'],
    ['rest', 'events.ndjson'],
  ] as const)('exactly the expected table of the case %s from %s', async (name, file) => {
    expect(await runCase(name, getCaseFile(name, file))).toEqual({
      code: 0,
      stdout: readExpected(name),
      stderr: '',
    })
  })

  test('the same with the lines in reverse and every one of them twice', async () => {
    const lines = readFileSync(getCaseFile('autumn', 'events.ndjson'), 'utf8').trimEnd().split('\n')
    const path = writeInput('reversed.ndjson', [...lines, ...lines].reverse().join('\n'))
    expect(await runCase('autumn', path)).toEqual({ code: 0, stdout: readExpected('autumn'), stderr: '' })
  })

  test('the same from one array of JSON', async () => {
    const lines = readFileSync(getCaseFile('edges', 'events.ndjson'), 'utf8').trimEnd().split('\n')
    const path = writeInput('edges.json', `[${lines.join(',')}]`)
    expect(await runCase('edges', path)).toEqual({ code: 0, stdout: readExpected('edges'), stderr: '' })
  })

  test('the same rows as JSON lines on request', async () => {
    const { code, stdout } = await runCase('edges', getCaseFile('edges', 'events.ndjson'), '--json')
    const [head, ...rows] = readExpected('edges').trimEnd().split('\n')
    const names = (head as string).split(',')
    const asJson = rows.map((row) =>
      Object.fromEntries(row.split(',').map((cell, index) => [names[index], cell])),
    )
    expect(code).toBe(0)
    expect(
      stdout
        .trimEnd()
        .split('\n')
        .map((line) => JSON.parse(line)),
    ).toEqual(asJson)
  })
})

describe('assess says', () => {
  test('each refused line with its problem, prints the table of the others, and exits 3', async () => {
    const lines = readFileSync(getCaseFile('edges', 'events.ndjson'), 'utf8').trimEnd()
    const path = writeInput(
      'refused.ndjson',
      `{"source":"desk"\n\n${lines}\n{"source":"desk","id":"z","sample":"WK5DM3ZA","kind":"collected","at":"2026-10-20T10:00:00Z"}\n`,
    )
    const { code, stdout, stderr } = await runCase('edges', path)
    expect([code, stdout]).toEqual([3, readExpected('edges')])
    const last = lines.split('\n').length + 3
    expect(stderr).toMatch(/^refused line 1: The line is not JSON.*\n/)
    expect(stderr).toMatch(new RegExp(`\nrefused line ${last} /sample: .*check character`))
    expect(stderr.trimEnd().split('\n')).toHaveLength(2)
  })

  test('both events of a conflict, prints no table, and exits 1, in either order', async () => {
    const event = (at: string) =>
      JSON.stringify({ source: 'desk', id: 'a1', sample: 'WK5DM3ZT', kind: 'collected', at })
    const [one, other] = ['2026-10-20T10:00:00Z', '2026-10-20T11:00:00Z']
    for (const lines of [
      [event(one), event(other)],
      [event(other), '{', event(one)],
    ]) {
      const { code, stdout, stderr } = await runCase('edges', writeInput('conflict.ndjson', lines.join('\n')))
      expect([code, stdout]).toEqual([1, ''])
      expect(stderr).toContain('desk/a1')
      expect(stderr).toContain(one)
      expect(stderr).toContain(other)
    }
  })

  test('what is wrong with the register, all at once, and exits 2', async () => {
    const register = JSON.parse(readFileSync(getCaseFile('edges', 'register.json'), 'utf8'))
    register.plants[0].zone = 'Europe/Nowhere'
    register.kits[0].laboratory = 'L9'
    const path = writeInput('register.json', JSON.stringify(register))
    const { code, stdout, stderr } = await run(path, getCaseFile('edges', 'events.ndjson'))
    expect([code, stdout]).toEqual([2, ''])
    expect(stderr).toContain('/plants/0/zone')
    expect(stderr).toContain('/kits/0/laboratory')
  })
})

describe('assess cannot be used, and exits 2 with a sentence,', () => {
  const register = getCaseFile('edges', 'register.json')
  const events = getCaseFile('edges', 'events.ndjson')

  test.each([
    ['without options', [], '--register'],
    ['without a time', ['--register', register, '--events', events], '--now'],
    ['with a time that is none', ['--register', register, '--events', events, '--now', 'noon'], '--now'],
    [
      'with a local time',
      ['--register', register, '--events', events, '--now', '2026-11-10T12:00:00'],
      'offset',
    ],
    [
      'with an option that is none',
      ['--register', register, '--events', events, '--now', NOW, '--fast'],
      '--fast',
    ],
    [
      'with a register that is not there',
      ['--register', 'no.json', '--events', events, '--now', NOW],
      'no.json',
    ],
    [
      'with events that are not there',
      ['--register', register, '--events', 'no.csv', '--now', NOW],
      'no.csv',
    ],
    ['with a register that is no JSON', ['--register', events, '--events', events, '--now', NOW], 'not JSON'],
  ])('%s', async (_, options, says) => {
    const { code, stdout, stderr } = await runAssess(...options)
    expect([code, stdout]).toEqual([2, ''])
    expect(stderr).toContain(says)
    expect(stderr).not.toMatch(/^\s+at /m)
  })

  test('with a CSV file that has no header', async () => {
    const path = writeInput('headless.csv', 'desk,e1,WK5DM3ZT,collected,2026-10-20T10:00:00Z\n')
    const { code, stdout, stderr } = await runCase('edges', path)
    expect([code, stdout]).toEqual([2, ''])
    expect(stderr).toContain('header')
  })
})
