import { resolve } from 'node:path'
import { parseArgs } from 'node:util'
import { type GoodBackup, recordGoodBackup } from '@/lib/store/backup/backupStatus'
import { makeBackupKey } from '@/lib/store/backup/encryption'
import { saveBackup } from '@/lib/store/backup/saveBackup'
import { getEnvironment } from '@/lib/store/environment'
import { hasTable } from '@/lib/store/migrate/databases'
import { type AuditLine, appendToAuditLog, COMMAND } from '@/lib/store/scope/audit'
import { openOwnerPool } from '@/lib/store/scope/pool'
import { openDatabaseServer } from './databaseServer'
import { runCommand } from './runCommand'
import { runStep } from './steps'

const USAGE = `npm run backup -- FILE              saves the programme into FILE
npm run backup -- --make-key FILE   makes a key to encrypt backups to, and writes the secret one into FILE`

/** `npm run backup`: saves everything in the programme's database into a file, while Holdfast runs or not. */
runCommand(async () => {
  const { file, isKey } = readOptions()
  if (isKey) return runStep('Key', () => makeKey(file))
  const { backupKey } = await runStep('Environment', async () => ({
    summary: 'Valid.',
    value: getEnvironment(),
  }))
  const { programmeUrl } = await runStep('Database', async () => {
    const value = await openDatabaseServer(true)
    return { summary: value.description, value }
  })
  await runStep('Backup', async () => {
    const now = Date.now()
    const { bytes, tables, rows } = await saveBackup(programmeUrl, file, now, { publicKey: backupKey })
    const isEncrypted = backupKey !== undefined
    const line = { what: 'saved a backup', subject: file, after: { rows, isEncrypted } }
    await recordBackup(programmeUrl, { at: now, file, bytes }, line)
    const how = isEncrypted
      ? 'It is encrypted to HOLDFAST_BACKUP_KEY.'
      : 'It is not encrypted: whoever reads it reads everything. HOLDFAST_BACKUP_KEY encrypts.'
    const summary = `${file}: ${tables} tables, ${rows} rows, ${bytes} bytes, as of ${new Date(now).toISOString()}.\n${how}`
    return { summary, value: undefined }
  })
})

/** A database at an early migration has no place for it. The backup that is made every day is nobody's act: it has no line. */
async function recordBackup(url: string, backup: GoodBackup, line: AuditLine) {
  const pool = openOwnerPool(url, { max: 1 })
  try {
    if (await hasTable(pool, 'public.audit_entry')) await appendToAuditLog(pool, COMMAND, [line], backup.at)
    if (await hasTable(pool, 'public.app_metadata')) await recordGoodBackup(pool, backup)
  } finally {
    await pool.end()
  }
}

async function makeKey(file: string) {
  const publicKey = await makeBackupKey(file)
  const summary = `The secret key is in ${file}: keep it away from this machine, because without it no backup can be restored.\nSet HOLDFAST_BACKUP_KEY=${publicKey}`
  return { summary, value: undefined }
}

function readOptions(): { file: string; isKey: boolean } {
  try {
    const { values, positionals } = parseArgs({
      options: { 'make-key': { type: 'boolean' } },
      allowPositionals: true,
    })
    const [file, ...more] = positionals
    if (file === undefined || more.length > 0) throw new Error('Name one file.')
    return { file: resolve(file), isKey: values['make-key'] === true }
  } catch (error) {
    throw new Error(`${(error as Error).message}\n${USAGE}`)
  }
}
