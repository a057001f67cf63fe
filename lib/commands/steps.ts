/** Prints what a command does as it does it: a tick or a cross, what it is about, and in words how it went. */

const width = 13
let isProgressStopped = false

/** From now on steps print nothing: what they were working with is being closed. */
export function stopProgress() {
  isProgressStopped = true
}

/** A step that failed in a way already told to the person; the command ends with exit code 1. */
export class StepFailed extends Error {
  override name = 'StepFailed'
}

/**
 * Runs one step and prints its outcome. `work` returns what is to be said of it.
 * @throws StepFailed after the cross and the reason have been printed.
 */
export async function runStep<T>(name: string, work: () => Promise<{ said: string; value: T }>): Promise<T> {
  try {
    const { said, value } = await work()
    log('✓', name, said)
    return value
  } catch (error) {
    if (error instanceof StepFailed) throw error
    log('✗', name, formatError(error))
    throw new StepFailed(name)
  }
}

/** One line, or several below each other, with a sign before. */
export function log(sign: '✓' | '✗' | '·' | '!', name: string, text: string) {
  if (isProgressStopped) return
  const [first, ...more] = text.split('\n')
  const lines = [
    `${sign} ${name.padEnd(width)}${first}`,
    ...more.map((line) => `  ${' '.repeat(width)}${line}`),
  ]
  const stream = sign === '✗' ? process.stderr : process.stdout
  stream.write(`${lines.join('\n')}\n`)
}

/** What to tell a person of an error: our own errors are sentences already, others get their code beside the message. */
export function formatError(error: unknown): string {
  if (!(error instanceof Error)) return String(error)
  const { code } = error as NodeJS.ErrnoException
  if (error instanceof AggregateError && error.message === '') return error.errors.map(formatError).join('\n')
  return code && !error.message.includes(code) ? `${error.message} (${code})` : error.message
}
