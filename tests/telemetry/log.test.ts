import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test, vi } from 'vitest'
import { getLog, openLog } from '@/lib/telemetry/log'
import { notePrincipal, runInRequest } from '@/lib/telemetry/requestContext'

const folder = mkdtempSync(join(tmpdir(), 'holdfast-log-'))
afterAll(async () => {
  await openLog({ name: 'test', format: 'text', folder: null })
  rmSync(folder, { recursive: true, force: true })
})

const readAll = (within: string) =>
  readdirSync(within)
    .map((name) => readFileSync(join(within, name), 'utf8'))
    .join('')
const readLines = (within: string) =>
  readAll(within)
    .split('\n')
    .filter((line) => line !== '')
    .map((line) => JSON.parse(line) as Record<string, unknown>)

test('a line has time, level, request and principal, and neither secret nor mail address', async () => {
  const within = join(folder, 'lines')
  await openLog({ name: 'web', format: null, folder: within })
  runInRequest({ id: 'request-1', principal: null, databaseFault: null, endTurn: null }, () => {
    notePrincipal({ kind: 'person', id: 'p1' })
    getLog().error({ stack: 'Error: at Bearer abcdefgh12345678' }, 'No mail to someone@plant.example')
  })
  getLog().info('Outside')
  await vi.waitUntil(() => readAll(within).includes('Outside'))
  const [first, second] = readLines(within)
  expect(first).toMatchObject({
    level: 'error',
    process: 'web',
    request: 'request-1',
    principal: 'person p1',
    message: 'No mail to [mail address]',
    stack: 'Error: at Bearer [secret]',
  })
  expect(new Date(first?.time as string).toISOString()).toBe(first?.time)
  expect(second).toMatchObject({ level: 'info', message: 'Outside' })
  expect(second).not.toHaveProperty('request')
})

test('files are for their owner only, are cut at their size, and the oldest go', async () => {
  const within = join(folder, 'rolled')
  const log = await openLog({ name: 'web', format: null, folder: within, size: '4k' })
  const total = () => readdirSync(within).reduce((sum, name) => sum + statSync(join(within, name)).size, 0)
  for (let round = 0; round < 40; round++) {
    for (let line = 0; line < 60; line++) log.info({ filler: 'x'.repeat(80) }, `round ${round}.`)
    await vi.waitUntil(() => readAll(within).includes(`round ${round}.`))
  }
  await vi.waitUntil(() => readdirSync(within).length <= 10)
  const names = readdirSync(within)
  expect(names.every((name) => /^web\.\d+\.log$/.test(name))).toBe(true)
  expect(names).not.toContain('web.1.log')
  expect(total()).toBeLessThan(40 * 60 * 120)
  for (const name of names) expect(statSync(join(within, name)).mode & 0o777).toBe(0o600)
  expect(statSync(within).mode & 0o777).toBe(0o700)
})

test('a folder that cannot be made loses the lines and nothing else', async () => {
  writeFileSync(join(folder, 'file'), '')
  const log = await openLog({ name: 'web', format: null, folder: join(folder, 'file', 'logs') })
  expect(() => log.error('lost')).not.toThrow()
})
