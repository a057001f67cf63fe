import { log, stopProgress } from './steps'

/** What has to be closed when the command ends, in whatever way; closed in the opposite order. */
const closers: { name: string; close: () => Promise<void> }[] = []
let isShuttingDown = false

/** Remembers something to close at the end. */
export function closeOnShutdown(name: string, close: () => Promise<void>) {
  closers.push({ name, close })
}

/**
 * Closes everything and ends the process.
 * @param code the exit code
 */
export async function shutDown(code: number): Promise<never> {
  if (isShuttingDown) return new Promise(() => {})
  isShuttingDown = true
  stopProgress()
  for (const { name, close } of closers.reverse()) {
    try {
      await close()
    } catch (error) {
      process.stderr.write(`✗ ${name} could not be stopped: ${(error as Error).message}\n`)
      process.exitCode = 1
    }
  }
  process.exit(code || process.exitCode || 0)
}

/** From now on Ctrl-C, a request to end and a closed terminal end the command in good order; a second one ends it at once. */
export function shutDownOnSignals() {
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) {
    process.on(signal, () => {
      if (isShuttingDown) process.exit(1)
      log('·', 'Stopping', 'Closing the web server and the database. Once more to stop at once.')
      void shutDown(0)
    })
  }
}
