import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { findLockOwner } from '@/lib/store/engine/lock'
import { type Environment, EnvironmentError, getEnvironment } from '@/lib/store/environment'
import { openLog } from '@/lib/telemetry/log'
import { logSteps } from './steps'

/** How the launcher logs, and the web server it starts. */
export interface Logging {
  format: 'text' | 'json'
  folder: string
}

/**
 * Opens the log of the launcher: steps as text on a terminal and as JSON lines elsewhere, unless HOLDFAST_LOG says
 * otherwise, and as JSON lines in rotated files of the data folder.
 */
export async function openLauncherLog(): Promise<Logging | undefined> {
  const settings = readSettings()
  // Settings that are wrong are told as text.
  const format = settings?.log ?? (settings === undefined || process.stdout.isTTY ? 'text' : 'json')
  const folder = settings && (settings.logDir ?? join(settings.dataDir, 'logs'))
  // Steps are printed as text by themselves, so that they look as they do in other commands.
  const printed = format === 'json' ? 'json' : null
  const isRefused = settings !== undefined && (await isFolderInUse(settings))
  const log = await openLog({
    name: 'launcher',
    format: printed,
    folder: isRefused ? null : (folder ?? null),
  })
  logSteps(log, format === 'text')
  return folder === undefined ? undefined : { format, folder }
}

/** Whether another launcher has the data folder: this one is refused later, and must not write into its files. */
async function isFolderInUse({ databaseUrl, dataDir }: Environment): Promise<boolean> {
  return databaseUrl === undefined && existsSync(dataDir) && (await findLockOwner(dataDir)) !== null
}

/** The settings, or undefined if they are invalid, which the first step says. */
function readSettings() {
  try {
    return getEnvironment()
  } catch (error) {
    if (error instanceof EnvironmentError) return undefined
    throw error
  }
}
