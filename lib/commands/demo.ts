import { getEnvironment } from '@/lib/store/environment'
import { getDatabaseName } from '@/lib/store/migrate/databases'
import { type DatabaseServer, openDatabaseServer } from './databaseServer'
import { makeDemo, noteDemoRemoved, removeDemo, withDemoLock } from './demoDatabase'
import { runCommand } from './runCommand'
import { askToServeAgain } from './serveAgain'
import { readServedNote } from './servedNote'
import { log, runStep } from './steps'

/** `npm run demo`: recreates the demo programme in a database of its own; `-- --remove` removes it. */
runCommand(async () => {
  const server = await runStep('Database', async () => {
    const value = await openDatabaseServer(true)
    return { summary: value.description, value }
  })
  await runStep('Demo', () =>
    withDemoLock(async () => {
      if (!server.isEmbedded) assertNotServed(getDatabaseName(server.demoUrl))
      const summary = process.argv.includes('--remove') ? await remove(server) : await create(server)
      return { summary, value: undefined }
    }),
  )
})

/** A launcher serves the demo of its own engine only; on another server it was told to, and cannot do otherwise. */
function assertNotServed(database: string) {
  const served = readServedNote(getEnvironment().dataDir)
  if (served?.database === database)
    throw new Error(`The running Holdfast (process ${served.pid}) serves ${database}. Stop it first.`)
}

/** A launcher changes over before the demo is dropped, so that no page meets a database that is gone. */
async function remove({ demoUrl, isEmbedded }: DatabaseServer): Promise<string> {
  const database = getDatabaseName(demoUrl)
  let follow = ''
  if (isEmbedded) {
    noteDemoRemoved()
    const wasServed = readServedNote(getEnvironment().dataDir)?.database === database
    follow = wasServed ? await serveAgain(database) : ''
  }
  return `${(await removeDemo(demoUrl, isEmbedded)) ? 'Removed.' : 'There was no demo.'}${follow}`
}

async function create({ demoUrl, isEmbedded }: DatabaseServer): Promise<string> {
  await makeDemo(demoUrl, Date.now(), (sentence) => log('·', 'Demo', sentence), isEmbedded)
  if (!isEmbedded) return `Created. Start with DATABASE_URL=${demoUrl}`
  const follow = await serveAgain(getDatabaseName(demoUrl))
  return `Created.${follow || ' npm start serves it unless you have a programme of your own.'}`
}

/** @returns a sentence about the running launcher; empty if none runs. */
async function serveAgain(database: string): Promise<string> {
  const { dataDir } = getEnvironment()
  if (!readServedNote(dataDir)) return ''
  const served = await askToServeAgain(dataDir, database)
  if (!served) return ' The running Holdfast does not answer; start it again.'
  const what = served.database === database ? 'the demo' : 'your programme'
  return ` The running Holdfast serves ${what} on ${served.address}.`
}
