import { resolve } from 'node:path'
import { parseArgs } from 'node:util'
import { readBackupFile } from '@/lib/store/backup/backupFile'
import { checkParts, readToEnd } from '@/lib/store/backup/checkParts'
import { readIdentity } from '@/lib/store/backup/encryption'
import { openDatabaseServer } from './databaseServer'
import { restoreProgramme } from './restoreProgramme'
import { runCommand } from './runCommand'
import { runStep } from './steps'

const USAGE = `npm run restore -- FILE [more]     restores FILE into the programme's database, which has to be empty
  --identity KEYFILE   the file with the secret key, if FILE is encrypted
  --check              only reads FILE and checks it`

/** `npm run restore`: restores a backup. */
runCommand(async () => {
  const { file, identityFile, isCheck } = readOptions()
  const identity = await runStep('Backup', async () => {
    const value = identityFile === undefined ? undefined : readIdentity(identityFile)
    const backup = await checkParts(readBackupFile(file, value))
    const { tables } = await readToEnd(backup)
    const { madeAt, program, server } = backup.manifest
    const rows = tables.reduce((sum, table) => sum + table.rows, 0)
    const summary = `${file} is whole: ${tables.length} tables, ${rows} rows, as of ${madeAt}.\nHoldfast ${program} made it, from PostgreSQL ${server}.`
    return { summary, value }
  })
  if (isCheck) return
  const { programmeUrl } = await runStep('Database', async () => {
    const value = await openDatabaseServer(true)
    return { summary: value.description, value }
  })
  await restoreProgramme(programmeUrl, readBackupFile(file, identity))
})

function readOptions(): { file: string; identityFile: string | undefined; isCheck: boolean } {
  try {
    const { values, positionals } = parseArgs({
      options: { identity: { type: 'string' }, check: { type: 'boolean' } },
      allowPositionals: true,
    })
    const [file, ...more] = positionals
    if (file === undefined || more.length > 0) throw new Error('Name one backup.')
    return { file: resolve(file), identityFile: values.identity, isCheck: values.check === true }
  } catch (error) {
    throw new Error(`${(error as Error).message}\n${USAGE}`)
  }
}
