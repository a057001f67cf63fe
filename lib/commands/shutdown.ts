import { log, stopProgress } from './steps'

/** Closed in reverse order when the command ends, whatever ends it. */
const closers: { name: string; close: () => Promise<void> }[] = []
let isShuttingDown = false

export function closeOnShutdown(name: string, close: () => Promise<void>) {
  closers.push({ name, close })
}

/** Closes everything and exits with `code`. */
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

/** Shuts down on Ctrl-C, SIGTERM or a closed terminal; a second signal exits at once. */
export function shutDownOnSignals() {
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) {
    process.on(signal, () => {
      if (isShuttingDown) process.exit(1)
      log('·', 'Stopping', 'Closing the web server and the database. Press again to stop at once.')
      void shutDown(0)
    })
  }
}
