import { ensurePrismaClient } from './prismaClient'
import { runCommand } from './runCommand'
import { checkTypes, runProgram } from './runProgram'

/** `npm run test:quick`: the types, and in parallel the rules and all pure tests in one zone. */
runCommand(async () => {
  await ensurePrismaClient()
  const results = await Promise.allSettled([
    checkTypes(),
    runProgram('vitest', 'vitest.mjs', ['run', '--project', 'rules', '--project', 'pure UTC']),
  ])
  for (const result of results) if (result.status === 'rejected') throw result.reason
})
