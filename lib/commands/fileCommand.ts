import { readFileSync } from 'node:fs'

/** A file or an option that a command cannot use. The command prints the message and exits with 2. */
export class InputError extends Error {}

/** @throws InputError with the system's reason. */
export function readTextFile(path: string): string {
  try {
    return readFileSync(path, 'utf8')
  } catch (error) {
    throw new InputError(`${path} cannot be read: ${(error as Error).message}`)
  }
}

/** Runs a command whose `main` returns the exit code. */
export function runFileCommand(main: () => number): void {
  try {
    process.exitCode = main()
  } catch (error) {
    if (!(error instanceof InputError)) throw error
    console.error(error.message)
    process.exitCode = 2
  }
}
