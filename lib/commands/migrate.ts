import { databaseName, ensureDatabase } from '@/lib/store/migrate/databases'
import { migrate } from '@/lib/store/migrate/migrate'
import { openDatabaseServer } from './databaseServer'
import { runCommand } from './runCommand'
import { say, step } from './steps'

/** `npm run db:migrate`: brings the programme's database to this version. */
runCommand(async () => {
  const { programmeUrl } = await step('Database', async () => {
    const value = await openDatabaseServer(true)
    return { said: value.said, value }
  })
  await step('Migrations', async () => {
    const name = databaseName(programmeUrl)
    if (await ensureDatabase(programmeUrl)) say('·', 'Migrations', `Made the database ${name}.`)
    const applied = await migrate({ url: programmeUrl, say: (sentence) => say('·', 'Migrations', sentence) })
    return { said: `${applied.length} applied. The database ${name} is up to date.`, value: undefined }
  })
})
