import {
  databaseExists,
  ensureDatabase,
  getDatabaseName,
  isProgrammeStarted,
} from '@/lib/store/migrate/databases'
import type { DatabaseServer } from './databaseServer'
import { isDemoRemoved, makeDemo, withDemoLock } from './demoDatabase'
import { log, runStep } from './steps'

/** The programme that a launcher serves. */
export interface Programme {
  /** The owner's URL of its database. */
  url: string
  isDemo: boolean
}

/** A server from DATABASE_URL gets no demo. In the embedded engine the programme takes precedence once it exists. */
export async function chooseProgramme(server: DatabaseServer): Promise<Programme> {
  const { programmeUrl, demoUrl, isEmbedded } = server
  return runStep('Programme', async () => {
    await ensureDatabase(programmeUrl)
    const programme = { url: programmeUrl, isDemo: false }
    const name = getDatabaseName(programmeUrl)
    if (!isEmbedded) return { summary: `In the database ${name}.`, value: programme }
    if (await isProgrammeStarted(programmeUrl))
      return { summary: `Yours, in the database ${name}.`, value: programme }
    if (isDemoRemoved()) {
      return {
        summary: 'Yours, still empty. The demo was removed; npm run demo recreates it.',
        value: programme,
      }
    }
    const demo = { url: demoUrl, isDemo: true }
    const advice = 'npm run demo -- --remove removes it.'
    if (await databaseExists(demoUrl, getDatabaseName(demoUrl)))
      return { summary: `The demo. ${advice}`, value: demo }
    log('·', 'Programme', 'No programme yet; creating the demo.')
    await withDemoLock(() => makeDemo(demoUrl, Date.now(), (sentence) => log('·', 'Programme', sentence)))
    return { summary: `The demo, just created. ${advice}`, value: demo }
  })
}
