import { shutDown } from './shutdown'
import { formatError, log, StepFailed } from './steps'

/**
 * Runs a command to its end and closes what it opened. The exit code is 0, or 1 after the reason has been printed.
 * @param main what the command does; the process ends when it has, unless it returns 'keep running'.
 */
export async function runCommand(main: () => Promise<unknown>) {
  try {
    if ((await main()) !== 'keep running') await shutDown(0)
  } catch (error) {
    if (!(error instanceof StepFailed)) log('✗', '', formatError(error))
    await shutDown(1)
  }
}
