import { type ChildProcess, spawn } from 'node:child_process'
import { cpSync, existsSync, mkdtempSync, readdirSync, rmSync } from 'node:fs'
import { appendFile, copyFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { takeLock } from '@/lib/store/engine/lock'

const program = join(import.meta.dirname, '../../lib/commands/withPrismaClient.ts')
const client = 'lib/store/prisma'
const schema = 'prisma/schema.prisma'

let folder: string
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'holdfast-client-'))
  cpSync(schema, join(folder, schema))
  cpSync('tsconfig.json', join(folder, 'tsconfig.json'))
})
afterAll(() => rmSync(folder, { recursive: true }))

/** Starts what every command preloads, in a process group of its own. */
const start = () =>
  spawn(process.execPath, ['--import', import.meta.resolve('tsx'), program], { cwd: folder, detached: true })
const waitForEnd = (child: ChildProcess) =>
  new Promise<unknown>((resolve) => child.once('close', (code, signal) => resolve(signal ?? code)))

function listClientFiles(): string[] {
  const path = join(folder, client)
  return existsSync(path)
    ? readdirSync(path, { recursive: true })
        .filter((name) => String(name).endsWith('.ts'))
        .map(String)
        .sort()
    : []
}

test('concurrent commands without a client generate it one after the other', async () => {
  const lock = await takeLock(join(folder, 'node_modules/.cache/holdfast-prisma'))
  const ends = Promise.all(Array.from({ length: 3 }, () => waitForEnd(start())))
  expect(await Promise.race([ends, wait(4_000, 'waiting')])).toBe('waiting')
  expect(listClientFiles()).toEqual([])
  if ('release' in lock) lock.release()
  expect(await ends).toEqual([0, 0, 0])
  expect(listClientFiles()).toContain('client.ts')
})

test('an interrupted client is generated again, even from the previous schema', async () => {
  expect(await waitForEnd(start())).toBe(0)
  const whole = listClientFiles()
  await appendFile(join(folder, schema), '\nmodel Extra {\n  id String @id\n}\n')
  const cut = start()
  const ended = waitForEnd(cut)
  while (listClientFiles().length === whole.length) await wait(0)
  process.kill(-(cut.pid ?? 0), 'SIGKILL')
  expect(await ended).toBe('SIGKILL')
  expect(listClientFiles()).not.toEqual(whole)
  await copyFile(schema, join(folder, schema))
  expect(await waitForEnd(start())).toBe(0)
  expect(listClientFiles()).toEqual(whole)
})
