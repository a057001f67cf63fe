import { spawn } from 'node:child_process'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { buildChildEnvironment } from '@/lib/store/environment'
import { ensurePrismaClient } from './prismaClient'
import { StepFailed } from './steps'

const locate = createRequire(import.meta.url)

/**
 * Runs the command-line program of an installed package in this terminal, without telemetry.
 * @param file the program, relative to the package's folder
 * @throws StepFailed if it fails; it has printed why.
 */
export async function runProgram(packageName: string, file: string, args: string[]): Promise<void> {
  const entry = join(dirname(locate.resolve(`${packageName}/package.json`)), file)
  const env = buildChildEnvironment({ NEXT_TELEMETRY_DISABLED: '1', CHECKPOINT_DISABLE: '1' })
  const child = spawn(process.execPath, [entry, ...args], { env, stdio: 'inherit' })
  // Ctrl-C reaches the child as well; we exit when it does.
  process.on('SIGINT', () => {})
  process.on('SIGTERM', () => child.kill('SIGTERM'))
  const code = await new Promise((resolve, reject) => {
    child.once('error', reject)
    child.once('close', resolve)
  })
  if (code !== 0) throw new StepFailed(packageName)
}

/**
 * Generates what the compiler needs, then type-checks everything.
 * @throws StepFailed if it finds errors; it has printed them.
 */
export async function checkTypes(): Promise<void> {
  await ensurePrismaClient()
  await runProgram('next', 'dist/bin/next', ['typegen'])
  await runProgram('typescript', 'bin/tsc', ['--noEmit'])
}
