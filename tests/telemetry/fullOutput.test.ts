import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { closeSync, existsSync, openSync } from 'node:fs'
import { expect, test } from 'vitest'

/** Logs more than a pipe holds, then exits with 7. */
const PROGRAM = (format: 'json' | 'text') => `
  const { openLog } = await import('./lib/telemetry/log.ts')
  const log = await openLog({ name: 'web', format: '${format}', folder: null })
  for (let line = 0; line < 300; line++) {
    log.error({ filler: 'x'.repeat(1_000) }, 'line ' + line)
    if (line % 100 === 0) await new Promise((resolve) => setImmediate(resolve))
  }
  await new Promise((resolve) => setImmediate(resolve))
  process.exit(7)`

// Linux alone has a file that refuses every write as a full disk does.
test.skipIf(!existsSync('/dev/full')).each([
  ['json', 'standard output'],
  ['text', 'standard error'],
] as const)('a log in %s survives a full disk behind %s', async (format, _output) => {
  const full = openSync('/dev/full', 'w')
  const args = ['--import', 'tsx', '--input-type=module', '-e', PROGRAM(format)]
  const child = spawn(process.execPath, args, { stdio: ['ignore', full, full] })
  closeSync(full)
  expect(await once(child, 'exit')).toEqual([7, null])
})

const TALKING_PROGRAM = `
  const { openLog } = await import('./lib/telemetry/log.ts')
  const log = await openLog({ name: 'web', format: 'json', folder: null })
  for (let line = 0; line < 400; line++) {
    log.error({ filler: 'x'.repeat(1_000) }, 'line ' + line)
    await new Promise((resolve) => setImmediate(resolve))
  }
  process.stderr.write('goes on')`

test('a reader of standard output that stops reading holds nothing up', async () => {
  const args = ['--import', 'tsx', '--input-type=module', '-e', TALKING_PROGRAM]
  const child = spawn(process.execPath, args, { stdio: ['ignore', 'pipe', 'pipe'] })
  // Nobody reads standard output until this has come.
  const [said] = await once(child.stderr, 'data')
  expect(String(said)).toBe('goes on')
  let read = ''
  child.stdout.on('data', (text: Buffer) => {
    read += text
  })
  await once(child, 'close')
  expect(read).toContain('"message":"line 0"')
})
