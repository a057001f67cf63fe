import { shutDown } from './shutdown'
import { formatError, log, StepFailed } from './steps'

/**
 * Runs a command, then closes what it opened and exits with 0, or with 1 after printing the reason.
 * @param main the command; the process exits after it unless it returns 'keep running'.
 */
export async function runCommand(main: () => Promise<unknown>) {
  try {
    if ((await main()) !== 'keep running') await shutDown(0)
  } catch (error) {
    if (!(error instanceof StepFailed)) log('✗', '', formatError(error))
    await shutDown(1)
  }
}
