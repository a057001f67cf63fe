import { ensurePrismaClient } from './prismaClient'
import { runProgram } from './runProgram'

/**
 * Runs the compiler over everything, after what it needs has been generated.
 * @throws StepFailed if it finds something; it has said what.
 */
export async function checkTypes(): Promise<void> {
  await ensurePrismaClient()
  await runProgram('next', 'dist/bin/next', ['typegen'])
  await runProgram('typescript', 'bin/tsc', ['--noEmit'])
}
