import { randomBytes } from 'node:crypto'
import { once } from 'node:events'
import { readdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { gzipSync } from 'node:zlib'
import { pack } from 'tar-stream'
import { expect, test } from 'vitest'
import { readBackupFile, writeBackupFile } from '@/lib/store/backup/backupFile'
import { nameChunk } from '@/lib/store/backup/backupFormat'
import { mountSmallDisk } from '../../setup/smallDisk'
import { makeFolder } from './backupCase'

test('a part that would fill the memory is refused before it is read', async () => {
  const tar = pack()
  tar.entry({ name: 'event/00001.copy', size: 4 * 1024 ** 3 })
  const [header] = (await once(tar, 'data')) as [Buffer]
  const file = join(makeFolder(), 'bomb')
  writeFileSync(file, gzipSync(Buffer.concat([header, Buffer.alloc(1024 * 1024)])))
  await expect(readBackupFile(file).next()).rejects.toThrow(
    'The backup is damaged: its part event/00001.copy has 4294967296 bytes. Use another backup.',
  )
})

test('a disk that fills up is a failure that can be caught, and leaves no file', async ({ skip }) => {
  const disk = mountSmallDisk(1)
  if ('reason' in disk) return skip(disk.reason)
  async function* makeParts() {
    for (let number = 1; number <= 40; number++)
      yield { name: nameChunk('event', number), body: randomBytes(256 * 1024) }
  }
  for (let attempt = 1; attempt <= 5; attempt++)
    await expect(writeBackupFile(join(disk.folder, 'file'), makeParts())).rejects.toThrow('ENOSPC')
  expect(readdirSync(disk.folder)).toEqual([])
})
