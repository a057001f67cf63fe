import { withSnapshot } from '@/lib/store/backup/snapshot'
import { readEnvironment } from '@/lib/store/environment'
import { getDatabaseName } from '@/lib/store/migrate/databases'
import { openDatabaseServer } from './databaseServer'
import { restoreProgramme } from './restoreProgramme'
import { runCommand } from './runCommand'
import { log, runStep } from './steps'

const USAGE = `npm run move -- DATABASE_URL   copies the programme into the empty database of DATABASE_URL`

/** `npm run move`: backup and restore in one, without a file between. The programme's own database stays as it is. */
runCommand(async () => {
  const [target = '', ...more] = process.argv.slice(2)
  if (target === '' || more.length > 0) throw new Error(`Name one database.\n${USAGE}`)
  readEnvironment({ DATABASE_URL: target })
  const { programmeUrl } = await runStep('Database', async () => {
    const value = await openDatabaseServer(true)
    return { summary: value.description, value }
  })
  const now = Date.now()
  await withSnapshot(programmeUrl, now, (parts) => restoreProgramme(target, parts))
  log(
    '✓',
    'Move',
    `The database ${getDatabaseName(target)} has everything as of ${new Date(now).toISOString()}. What Holdfast takes in after that is only in the old one, so stop it before you move for good.\nSet DATABASE_URL to the new database, and start Holdfast.`,
  )
})
