import { join } from 'node:path'
import { listScheduledFiles } from '@/lib/store/backup/scheduledFiles'
import { readSystemIdentifier } from '@/lib/store/engine/cluster'
import { type Engine, findRunningEngineUrl, startEngine } from '@/lib/store/engine/engine'
import { EngineVersionError } from '@/lib/store/engine/engineError'
import { getEnvironment } from '@/lib/store/environment'
import { getDatabaseName, withDatabase } from '@/lib/store/migrate/databases'
import { closeOnShutdown } from './shutdown'

/** The database server: the one of DATABASE_URL, or the embedded engine. */
export interface DatabaseServer {
  /** The owner's URL of the programme's database. */
  programmeUrl: string
  /** The owner's URL of the demo's database. */
  demoUrl: string
  /** The engine, if this process runs it. */
  engine?: Engine
  isEmbedded: boolean
  /** A sentence that says where the server is. */
  description: string
}

/**
 * Opens the server; an engine started here stops when the command ends.
 * @param isShared use the engine of a running Holdfast; otherwise a running one is an error.
 */
export async function openDatabaseServer(isShared: boolean): Promise<DatabaseServer> {
  const { databaseUrl, dataDir } = getEnvironment()
  if (databaseUrl) {
    const { host } = new URL(databaseUrl)
    return { ...toUrls(databaseUrl), isEmbedded: false, description: `The server in DATABASE_URL, ${host}.` }
  }
  const running = isShared ? await findRunningEngineUrl(dataDir, programme) : null
  if (running)
    return {
      ...toUrls(running),
      isEmbedded: true,
      description: `The engine of the Holdfast running on ${dataDir}.`,
    }
  const engine = await startEngine({ dataDir }).catch((error) => {
    throw error instanceof EngineVersionError
      ? new Error(`${error.message}\n${adviseOnVersion(error)}`)
      : error
  })
  closeOnShutdown('PostgreSQL', (limitMs) => engine.stop(limitMs))
  const description = [
    ...engine.remarks,
    `Embedded PostgreSQL on 127.0.0.1:${engine.port}, data in ${dataDir}.`,
  ].join('\n')
  return { ...toUrls(engine.url(programme)), engine, isEmbedded: true, description }
}

const programme = 'holdfast'

/** No engine reads the files of another major version, but a backup is of none. */
function adviseOnVersion({ dataDir, written }: EngineVersionError): string {
  const { backupDir = join(dataDir, 'backups') } = getEnvironment()
  const [newest] = listScheduledFiles(backupDir, {
    database: programme,
    cluster: readSystemIdentifier(dataDir),
  })
  const aside = `Move ${join(dataDir, 'engine')} aside, as ${join(dataDir, `engine-${written}`)}`
  if (newest) return `Restore the last backup instead. ${aside}, then run: npm run restore -- ${newest.path}`
  return `There is no backup in ${backupDir} to restore. Make one with the Holdfast that ran so far: npm run backup -- FILE. ${aside}, then run here: npm run restore -- FILE`
}

function toUrls(programmeUrl: string) {
  return { programmeUrl, demoUrl: withDatabase(programmeUrl, `${getDatabaseName(programmeUrl)}_demo`) }
}
