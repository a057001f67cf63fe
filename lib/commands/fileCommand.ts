import { readFileSync } from 'node:fs'

/** A file or an option that a command cannot use. Its message is all that the person sees, and the exit code is 2. */
export class InputError extends Error {}

/** @throws Unusable with the reason the system gives. */
export function readTextFile(path: string): string {
  try {
    return readFileSync(path, 'utf8')
  } catch (error) {
    throw new InputError(`${path} cannot be read: ${(error as Error).message}`)
  }
}

/** Runs a command that answers with its exit code. */
export function runFileCommand(main: () => number): void {
  try {
    process.exitCode = main()
  } catch (error) {
    if (!(error instanceof InputError)) throw error
    console.error(error.message)
    process.exitCode = 2
  }
}
