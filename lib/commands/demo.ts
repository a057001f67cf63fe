import { openDatabaseServer } from './databaseServer'
import { makeDemo, removeDemo } from './demoDatabase'
import { runCommand } from './runCommand'
import { log, runStep } from './steps'

/** `npm run demo`: recreates the demo programme in a database of its own; `-- --remove` removes it. */
runCommand(async () => {
  const { demoUrl, isEmbedded } = await runStep('Database', async () => {
    const value = await openDatabaseServer(true)
    return { summary: value.description, value }
  })
  await runStep('Demo', async () => {
    if (process.argv.includes('--remove')) {
      const wasThere = await removeDemo(demoUrl, isEmbedded)
      return { summary: wasThere ? 'Removed.' : 'There was no demo.', value: undefined }
    }
    await makeDemo(demoUrl, Date.now(), (sentence) => log('·', 'Demo', sentence))
    const how = isEmbedded
      ? 'npm start serves it unless you have a programme of your own.'
      : `Start with DATABASE_URL=${demoUrl}`
    return { summary: `Created. ${how}`, value: undefined }
  })
})
