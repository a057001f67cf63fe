import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test, vi } from 'vitest'
import { openLog } from '@/lib/telemetry/log'
import { logConsole } from '@/lib/telemetry/startTelemetry'

const folder = mkdtempSync(join(tmpdir(), 'holdfast-console-'))
const { log, info, warn, error } = console
afterAll(async () => {
  Object.assign(console, { log, info, warn, error })
  await openLog({ name: 'test', format: 'text', folder: null })
  rmSync(folder, { recursive: true, force: true })
})

test('what libraries print is one line each, without colours, with the stack in a field', async () => {
  await openLog({ name: 'web', format: null, folder })
  logConsole()
  console.warn('\u001b[33mWARN\u001b[0m careful')
  console.error(' ⨯', new Error('It broke'), { digest: '1234' })
  const read = () =>
    readdirSync(folder)
      .map((name) => readFileSync(join(folder, name), 'utf8'))
      .join('')
  await vi.waitUntil(() => read().includes('It broke'))
  const lines = read()
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line) as Record<string, unknown>)
  expect(lines).toHaveLength(2)
  expect(lines[0]).toMatchObject({ level: 'warn', message: 'WARN careful' })
  expect(lines[1]).toMatchObject({ level: 'error', message: 'It broke', error: 'It broke' })
  expect(lines[1]?.stack).toMatch(/Error: It broke\n +at .*digest: '1234'/s)
})
