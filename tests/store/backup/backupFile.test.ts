import { once } from 'node:events'
import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { gzipSync } from 'node:zlib'
import { pack } from 'tar-stream'
import { expect, test } from 'vitest'
import { readBackupFile } from '@/lib/store/backup/backupFile'
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
