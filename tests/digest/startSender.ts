import { spawn } from 'node:child_process'
import type { Step } from '@/lib/digest/delivery/sendQueuedMail'

/**
 * Runs a sender in a process of its own. With a step and a count, it kills itself when it reaches the step for that time.
 * @returns the signal that ended it, or its exit code.
 */
export function startSender(
  databaseUrl: string,
  smtpUrl: string,
  ...step: [] | [Step, number]
): Promise<string | number | null> {
  const child = spawnSender(databaseUrl, smtpUrl, ...step)
  child.stdout.resume()
  child.stderr.pipe(process.stderr)
  return new Promise((resolve) => child.once('close', (code, signal) => resolve(signal ?? code)))
}

/** Starts a sender in a process of its own, which writes a line for each step: its name, and the mail's person. The caller reads both outputs. */
export function spawnSender(databaseUrl: string, smtpUrl: string, ...step: [] | [Step, number]) {
  return spawn(
    process.execPath,
    ['--import', 'tsx', 'tests/digest/senderProcess.ts', databaseUrl, smtpUrl, ...step.map(String)],
    { stdio: ['ignore', 'pipe', 'pipe'] },
  )
}
