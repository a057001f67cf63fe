import { ensureDatabase, getDatabaseName } from '@/lib/store/migrate/databases'
import { migrate } from '@/lib/store/migrate/migrate'
import { openDatabaseServer } from './databaseServer'
import { runCommand } from './runCommand'
import { log, runStep } from './steps'

/** `npm run db:migrate`: migrates the programme's database to this version. */
runCommand(async () => {
  const { programmeUrl } = await runStep('Database', async () => {
    const value = await openDatabaseServer(true)
    return { summary: value.description, value }
  })
  await runStep('Migrations', async () => {
    const name = getDatabaseName(programmeUrl)
    if (await ensureDatabase(programmeUrl)) log('·', 'Migrations', `Created the database ${name}.`)
    const applied = await migrate({ url: programmeUrl, log: (sentence) => log('·', 'Migrations', sentence) })
    return { summary: `${applied.length} applied. The database ${name} is up to date.`, value: undefined }
  })
})
