import { databaseName, dropDatabase, ensureDatabase } from '@/lib/store/migrate/databases'
import { migrate } from '@/lib/store/migrate/migrate'
import { openDatabaseServer } from './databaseServer'
import { runCommand } from './runCommand'
import { StepFailed, say, step } from './steps'

/** `npm run db:reset -- --yes`: drops the programme's database, that one alone, and makes it anew, empty. */
runCommand(async () => {
  const { programmeUrl } = await step('Database', async () => {
    const value = await openDatabaseServer(true)
    return { said: value.said, value }
  })
  const name = databaseName(programmeUrl)
  if (!process.argv.includes('--yes')) {
    say(
      '✗',
      'Reset',
      `This destroys everything in the database ${name}. If that is meant: npm run db:reset -- --yes`,
    )
    throw new StepFailed('Reset')
  }
  await step('Reset', async () => {
    await dropDatabase(programmeUrl)
    await ensureDatabase(programmeUrl)
    const applied = await migrate({ url: programmeUrl })
    return {
      said: `The database ${name} is new and empty, with ${applied.length} migrations applied.`,
      value: undefined,
    }
  })
})
