import { readdirSync } from 'node:fs'
import { join } from 'node:path'

/** A file that the schedule wrote. */
export interface ScheduledFile {
  path: string
  /** As of when, like 20261130T023000Z. */
  stamp: string
}

/** What a backup is of. Several installations may share a folder and the name of their databases, but no cluster. */
export interface BackupSource {
  database: string
  /** PostgreSQL's system identifier of the cluster. */
  cluster: string
}

/** The name of the scheduled backup of a database as of `at` (ms UTC). */
export function nameScheduledFile(source: BackupSource, at: number): string {
  const stamp = new Date(at).toISOString().replaceAll(/[-:]|\.\d+/g, '')
  return `${getPrefix(source)}${stamp}.backup`
}

/** The scheduled backups of a database in a folder, newest first; other files are left out. */
export function listScheduledFiles(folder: string, source: BackupSource): ScheduledFile[] {
  return list(folder, source, /^(\d{8}T\d{6}Z)\.backup$/)
}

/** What a scheduled backup of a database left that was ended half way. */
export function listUnfinishedFiles(folder: string, source: BackupSource): ScheduledFile[] {
  return list(folder, source, /^(\d{8}T\d{6}Z)\.backup\.unfinished-[\da-f]+$/)
}

function list(folder: string, source: BackupSource, rest: RegExp): ScheduledFile[] {
  const prefix = getPrefix(source)
  return readNames(folder)
    .flatMap((name) => {
      const stamp = name.startsWith(prefix) && rest.exec(name.slice(prefix.length))?.[1]
      return stamp ? [{ path: join(folder, name), stamp }] : []
    })
    .sort((a, b) => (a.stamp < b.stamp ? 1 : -1))
}

function readNames(folder: string): string[] {
  try {
    return readdirSync(folder)
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return []
    throw error
  }
}

/** A database may have any name, a file may not. */
function getPrefix({ database, cluster }: BackupSource): string {
  return `holdfast-${encodeURIComponent(database)}-${cluster}-`
}
