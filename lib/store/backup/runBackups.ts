import { type BackupSchedule, makeDueBackup } from './scheduledBackup'

/** How often a server looks whether a backup is due. */
const POLL_MS = 60_000

/** The longest wait for a backup that was told to stop. */
const STOP_MS = 3_000

export interface BackupReports {
  onDone: (file: string) => void
  /** Gets the reason, as a sentence, once for each kind of failure until a backup succeeds. */
  onFault: (reason: string) => void
  /** Gets the reason why old backups stay, as a sentence, after each backup that is good all the same. */
  onRemovalFault: (reason: string) => void
}

/**
 * Makes the daily backups of a database from this process, the first at once if one was missed; other servers may do the
 * same.
 * @returns a function that stops it, and breaks off a backup that is being made.
 */
export function runBackups(
  schedule: Omit<BackupSchedule, 'signal'>,
  { onDone, onFault, onRemovalFault }: BackupReports,
): () => Promise<void> {
  const stopping = new AbortController()
  const { signal } = stopping
  let lastFault = ''
  let timer: NodeJS.Timeout | undefined
  const look = async () => {
    try {
      const made = await makeDueBackup({ ...schedule, signal }, Date.now())
      if (made === null) return
      lastFault = ''
      onDone(made.file)
      if (made.removalFault !== null) onRemovalFault(made.removalFault)
    } catch (error) {
      const { message } = error as Error
      if (signal.aborted || message === lastFault) return
      lastFault = message
      onFault(message)
    } finally {
      if (!signal.aborted) timer = setTimeout(run, POLL_MS)
    }
  }
  let running = Promise.resolve()
  const run = () => {
    running = look()
  }
  run()
  return async () => {
    stopping.abort()
    clearTimeout(timer)
    await Promise.race([running, new Promise((resolve) => setTimeout(resolve, STOP_MS).unref())])
  }
}
