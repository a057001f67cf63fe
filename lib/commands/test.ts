import { ensurePrismaClient } from './prismaClient'
import { runCommand } from './runCommand'
import { runProgram } from './runProgram'

/** `npm test`: all tests, or those that the arguments name as `vitest run` takes them. */
runCommand(async () => {
  await ensurePrismaClient()
  await runProgram('vitest', 'vitest.mjs', ['run', ...process.argv.slice(2)])
})
