import { ensurePrismaClient } from './prismaClient'
import { runCommand } from './runCommand'
import { runProgram } from './runProgram'

/** `npm test`: all tests, or those the arguments name, as for `vitest run`. */
runCommand(async () => {
  await ensurePrismaClient()
  await runProgram('vitest', 'vitest.mjs', ['run', ...process.argv.slice(2)])
})
