import { type ChildProcess, spawn } from 'node:child_process'
import { buildChildEnvironment } from '@/lib/store/environment'

/** A command of ours run as a process of its own, as a person runs it. */
export interface RunningCommand {
  child: ChildProcess
  /** All that it has printed until now. */
  output(): string
  /** Waits until it has printed something that matches; fails with all that it did print when it ends before. */
  waitFor(pattern: RegExp): Promise<RegExpMatchArray>
  /** Waits for its end. @returns the exit code, or the signal that ended it */
  ended: Promise<number | string>
}

const runningCommands: ChildProcess[] = []

/** Runs lib/commands/NAME.ts with an environment of which DATABASE_URL, PORT and HOLDFAST_DATA_DIR are only what is given. */
export function launchCommand(
  name: string,
  args: string[],
  variables: Record<string, string>,
): RunningCommand {
  const env = buildChildEnvironment({ DATABASE_URL: '', PORT: '', HOLDFAST_DATA_DIR: '', ...variables })
  const child = spawn(process.execPath, ['--import', 'tsx', `lib/commands/${name}.ts`, ...args], {
    env,
    stdio: ['ignore', 'pipe', 'pipe'],
  })
  runningCommands.push(child)
  let said = ''
  const listeners = new Set<() => void>()
  const hear = (text: Buffer) => {
    said += text
    for (const listener of listeners) listener()
  }
  child.stdout.on('data', hear)
  child.stderr.on('data', hear)
  const ended = new Promise<number | string>((resolve) =>
    child.once('close', (code, signal) => resolve(code ?? signal ?? '')),
  )
  return {
    child,
    output: () => said,
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

/** Ends what tests have launched and not ended, in good order where it can. */
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
