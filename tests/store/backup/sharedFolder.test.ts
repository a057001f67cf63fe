import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { readBackupFile, writeBackupFile } from '@/lib/store/backup/backupFile'

const folder = mkdtempSync(join(tmpdir(), 'holdfast-shared-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

/** A part that is complete only once `after` is. */
async function* makeParts(after: Promise<void> = Promise.resolve(), second = '2') {
  yield { name: 'first', body: Buffer.from('1') }
  await after
  yield { name: 'second', body: Buffer.from(second) }
}

// Containers that share a folder give their processes the same ids.
test('what a killed process with our id left of a file does not stop the next', async () => {
  const file = join(folder, 'again.backup')
  writeFileSync(`${file}.unfinished-${process.pid}`, 'half')
  await writeBackupFile(file, makeParts())
  expect(readdirSync(folder)).toContain('again.backup')
})

test('of two processes with one id that write one file, the later is refused and removes nothing of the other', async () => {
  const file = join(folder, 'both.backup')
  let finish = () => {}
  const slow = writeBackupFile(
    file,
    makeParts(
      new Promise((resolve) => {
        finish = resolve
      }),
    ),
  )
  await writeBackupFile(file, makeParts(undefined, 'quick'))
  finish()
  await expect(slow).rejects.toThrow(`${file} exists already.`)
  const bodies: string[] = []
  for await (const { body } of readBackupFile(file)) bodies.push(body.toString())
  expect(bodies).toEqual(['1', 'quick'])
  expect(readdirSync(folder).filter((name) => name.startsWith('both'))).toEqual(['both.backup'])
})
