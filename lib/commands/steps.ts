/** Progress of a command: a line per step with a tick or a cross, its name and its outcome. */
import type { Log } from '@/lib/telemetry/log'

const width = 13
const LEVELS = { '✓': 'info', '·': 'info', '!': 'warn', '✗': 'error' } as const
let isProgressStopped = false
let serverLog: { log: Log; isPrinted: boolean } | undefined
let isOutputKept = false

/** Has every step logged too; `isPrinted`: and printed as well, as without a log. */
export function logSteps(log: Log, isPrinted: boolean) {
  serverLog = { log, isPrinted }
}

/** Prints every step on standard error, for a command whose standard output a script reads. */
export function keepOutputForResult() {
  isOutputKept = true
}

/** Silences further steps while the command shuts down. */
export function stopProgress() {
  isProgressStopped = true
}

/** A step whose failure is already printed; the command exits with 1. */
export class StepFailed extends Error {
  override name = 'StepFailed'
}

/**
 * Runs one step and prints its outcome, `summary`.
 * @throws StepFailed after the failure is printed.
 */
export async function runStep<T>(
  name: string,
  work: () => Promise<{ summary: string; value: T }>,
): Promise<T> {
  try {
    const { summary, value } = await work()
    log('✓', name, summary)
    return value
  } catch (error) {
    if (error instanceof StepFailed) throw error
    log('✗', name, formatError(error))
    throw new StepFailed(name)
  }
}

/** Prints one line, or several below each other, after a sign. */
export function log(sign: '✓' | '✗' | '·' | '!', name: string, text: string) {
  if (isProgressStopped) return
  serverLog?.log[LEVELS[sign]]({ step: name }, text)
  if (serverLog && !serverLog.isPrinted) return
  const [first, ...more] = text.split('\n')
  const lines = [
    `${sign} ${name.padEnd(width)}${first}`,
    ...more.map((line) => `  ${' '.repeat(width)}${line}`),
  ]
  const stream = sign === '✗' || isOutputKept ? process.stderr : process.stdout
  stream.write(`${lines.join('\n')}\n`)
}

/** An error for people: ours are sentences already, others get their code beside the message. */
export function formatError(error: unknown): string {
  if (!(error instanceof Error)) return String(error)
  const { code } = error as NodeJS.ErrnoException
  if (error instanceof AggregateError && error.message === '') return error.errors.map(formatError).join('\n')
  return code && !error.message.includes(code) ? `${error.message} (${code})` : error.message
}
