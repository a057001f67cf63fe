import { type ChildProcess, spawn } from 'node:child_process'
import { buildChildEnvironment } from '@/lib/store/environment'

/** A command in a process of its own, run as a person runs it. */
export interface RunningCommand {
  child: ChildProcess
  /** Everything printed so far. */
  output(): string
  /** What was printed so far on standard output alone. */
  standardOutput(): string
  /** Waits until the output matches; fails with all output if the process ends first. */
  waitFor(pattern: RegExp): Promise<RegExpMatchArray>
  /** The exit code, or the signal that ended it. */
  ended: Promise<number | string>
}

/** The steps that `npm start` prints, in order. */
export const START_STEPS = [
  'Environment',
  'Database',
  'Programme',
  'Migrations',
  'Zone data',
  'Pages',
  'Mail',
  'Web server',
  'Holdfast',
] as const

const runningCommands: ChildProcess[] = []

/** Runs lib/commands/NAME.ts; DATABASE_URL, PORT and HOLDFAST_DATA_DIR are set only if given. */
export function launchCommand(
  name: string,
  args: string[],
  variables: Record<string, string>,
): RunningCommand {
  return launchProgram(process.execPath, ['--import', 'tsx', `lib/commands/${name}.ts`, ...args], variables)
}

/**
 * Runs a program as `launchCommand` does. npm marks all that it runs, and so the tests: the mark is removed, as a
 * program without npm does not have it.
 */
export function launchProgram(
  program: string,
  args: string[],
  variables: Record<string, string>,
): RunningCommand {
  const env = buildChildEnvironment({
    npm_lifecycle_event: undefined,
    DATABASE_URL: '',
    PORT: '',
    HOLDFAST_DATA_DIR: '',
    // What it prints goes to a pipe here, and is read as a person reads it.
    HOLDFAST_LOG: 'text',
    ...variables,
  })
  const child = spawn(program, args, { env, stdio: ['ignore', 'pipe', 'pipe'] })
  runningCommands.push(child)
  let [said, saidOnOutput] = ['', '']
  const listeners = new Set<() => void>()
  const hear = (text: Buffer) => {
    said += text
    for (const listener of listeners) listener()
  }
  child.stdout.on('data', hear)
  child.stdout.on('data', (text: Buffer) => {
    saidOnOutput += text
  })
  child.stderr.on('data', hear)
  const ended = new Promise<number | string>((resolve) =>
    child.once('close', (code, signal) => resolve(code ?? signal ?? '')),
  )
  return {
    child,
    output: () => said,
    standardOutput: () => saidOnOutput,
    ended,
    waitFor(pattern) {
      return new Promise((resolve, reject) => {
        const look = () => {
          const found = said.match(pattern)
          if (found) {
            listeners.delete(look)
            resolve(found)
          }
        }
        listeners.add(look)
        look()
        ended.then((how) =>
          reject(new Error(`It ended (${how}) without saying ${pattern}. It said:\n${said}`)),
        )
      })
    },
  }
}

/** Ends commands that tests left running, gracefully if possible. */
export async function endRunningCommands() {
  for (const child of runningCommands.splice(0)) {
    if (child.exitCode !== null || child.signalCode !== null) continue
    const gone = new Promise((resolve) => child.once('close', resolve))
    child.kill('SIGTERM')
    const force = setTimeout(() => child.kill('SIGKILL'), 15_000)
    await gone
    clearTimeout(force)
  }
}
