import { readFileSync, realpathSync } from 'node:fs'
import { join } from 'node:path'
import { engineUrl } from './engine'
import { lockOwner } from './lock'
import { addressFile } from './ready'

/**
 * The owner's URL of a database of the engine that another live process runs on a data folder, so that a command given beside a
 * running Holdfast works on the same engine.
 * @returns null where none runs, or it does not take connections yet.
 */
export async function runningEngineUrl(folder: string, database: string): Promise<string | null> {
  try {
    const dataDir = realpathSync(folder)
    if ((await lockOwner(dataDir)) === null) return null
    const { port } = JSON.parse(readFileSync(join(dataDir, addressFile), 'utf8')) as { port: number }
    return engineUrl(dataDir, port, database)
  } catch {
    return null
  }
}
