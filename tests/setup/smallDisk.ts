import { spawnSync } from 'node:child_process'
import { chmodSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { atEndOfFile } from './endOfFile'

/** A file system of its own, which a test can fill. */
export interface SmallDisk {
  folder: string
}

/**
 * Mounts a file system in memory for the calling test file. Call it before whatever uses it starts, so that it ends last.
 * @returns the file system, or why this process may mount none.
 */
export function mountSmallDisk(megabytes: number): SmallDisk | { reason: string } {
  const folder = mkdtempSync(join(tmpdir(), 'holdfast-small-disk-'))
  const mounted = spawnSync('mount', ['-t', 'tmpfs', '-o', `size=${megabytes}m`, 'tmpfs', folder])
  atEndOfFile(async () => {
    if (mounted.status === 0) spawnSync('umount', ['--lazy', folder])
    rmSync(folder, { recursive: true, force: true })
  })
  // PostgreSQL runs as another user where the tests run as root.
  chmodSync(folder, 0o755)
  return mounted.status === 0
    ? { folder }
    : { reason: `no file system can be mounted here: ${mounted.stderr ?? mounted.error?.message}`.trim() }
}
