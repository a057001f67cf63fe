import { ensurePrismaClient } from './prismaClient'
import { runCommand } from './runCommand'
import { runProgram } from './runProgram'

/** `npm run typecheck`: the compiler over everything, after what it needs has been generated. */
runCommand(async () => {
  await ensurePrismaClient()
  await runProgram('next', 'dist/bin/next', ['typegen'])
  await runProgram('typescript', 'bin/tsc', ['--noEmit'])
})
