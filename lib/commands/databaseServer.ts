import { type Engine, runningEngineUrl, startEngine } from '@/lib/store/engine/engine'
import { environment } from '@/lib/store/environment'
import { databaseName, withDatabase } from '@/lib/store/migrate/databases'
import { closeAtEnd } from './ending'

/** The server that holds the databases: the one that DATABASE_URL names, or the embedded engine. */
export interface DatabaseServer {
  /** The owner's URL of the real programme's database. */
  programmeUrl: string
  /** The owner's URL of the demo's database. */
  demoUrl: string
  /** The engine, if this process runs it. */
  engine?: Engine
  isEmbedded: boolean
  /** Where it is, for a person. */
  said: string
}

/**
 * Opens the server; an engine started here is stopped when the command ends.
 * @param isShared use the engine of a Holdfast that runs already; otherwise that is a reason to refuse.
 */
export async function openDatabaseServer(isShared: boolean): Promise<DatabaseServer> {
  const { databaseUrl, dataDir } = environment()
  if (databaseUrl) {
    const { host } = new URL(databaseUrl)
    return { ...urls(databaseUrl), isEmbedded: false, said: `The server of DATABASE_URL, ${host}.` }
  }
  const running = isShared ? await runningEngineUrl(dataDir, programme) : null
  if (running)
    return {
      ...urls(running),
      isEmbedded: true,
      said: `The engine of the Holdfast that is running on ${dataDir}.`,
    }
  const engine = await startEngine({ dataDir })
  closeAtEnd('PostgreSQL', () => engine.stop())
  const said = [
    ...engine.remarks,
    `Embedded PostgreSQL on 127.0.0.1:${engine.port}, data in ${dataDir}.`,
  ].join('\n')
  return { ...urls(engine.url(programme)), engine, isEmbedded: true, said }
}

const programme = 'holdfast'

function urls(programmeUrl: string) {
  return { programmeUrl, demoUrl: withDatabase(programmeUrl, `${databaseName(programmeUrl)}_demo`) }
}
