import { openDatabaseServer } from './databaseServer'
import { makeDemo, removeDemo } from './demoDatabase'
import { runCommand } from './runCommand'
import { log, runStep } from './steps'

/** `npm run demo`: makes the demo programme anew, in a database of its own; with `-- --remove`, takes it away. */
runCommand(async () => {
  const { demoUrl, isEmbedded } = await runStep('Database', async () => {
    const value = await openDatabaseServer(true)
    return { said: value.description, value }
  })
  await runStep('Demo', async () => {
    if (process.argv.includes('--remove')) {
      const wasThere = await removeDemo(demoUrl, isEmbedded)
      return { said: wasThere ? 'Removed.' : 'There was none.', value: undefined }
    }
    await makeDemo(demoUrl, Date.now(), (sentence) => log('·', 'Demo', sentence))
    const how = isEmbedded
      ? 'npm start shows it, unless you have a programme of your own.'
      : `Start with DATABASE_URL=${demoUrl}`
    return { said: `Made. ${how}`, value: undefined }
  })
})
