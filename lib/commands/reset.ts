import { dropDatabase, ensureDatabase, getDatabaseName } from '@/lib/store/migrate/databases'
import { migrate } from '@/lib/store/migrate/migrate'
import { openDatabaseServer } from './databaseServer'
import { runCommand } from './runCommand'
import { log, runStep, StepFailed } from './steps'

/** `npm run db:reset -- --yes`: drops the programme's database, and no other, and creates it empty. */
runCommand(async () => {
  const { programmeUrl } = await runStep('Database', async () => {
    const value = await openDatabaseServer(true)
    return { summary: value.description, value }
  })
  const name = getDatabaseName(programmeUrl)
  if (!process.argv.includes('--yes')) {
    log(
      '✗',
      'Reset',
      `This destroys everything in the database ${name}. To confirm, run: npm run db:reset -- --yes`,
    )
    throw new StepFailed('Reset')
  }
  await runStep('Reset', async () => {
    await dropDatabase(programmeUrl)
    await ensureDatabase(programmeUrl)
    const applied = await migrate({ url: programmeUrl })
    return {
      summary: `The database ${name} is now empty, with ${applied.length} migrations applied.`,
      value: undefined,
    }
  })
})
