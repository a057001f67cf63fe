import { databaseExists, getDatabaseName } from '@/lib/store/migrate/databases'
import { migrate } from '@/lib/store/migrate/migrate'
import { rebuild } from '@/lib/store/projection/rebuild'
import { openAppPool } from '@/lib/store/scope/pool'
import { openDatabaseServer } from './databaseServer'
import { reportProgress } from './rederive'
import { runCommand } from './runCommand'
import { runStep } from './steps'

/**
 * `npm run rebuild`: derives every sample again from the ledgers, in the programme's database and the demo's. A running server
 * may go on serving. It begins anew, also after one that was ended; others that run meanwhile take part.
 */
runCommand(async () => {
  const server = await runStep('Database', async () => {
    const value = await openDatabaseServer(true)
    return { summary: value.description, value }
  })
  for (const url of [server.programmeUrl, server.demoUrl]) {
    const name = getDatabaseName(url)
    if (!(await databaseExists(url, name))) continue
    await runStep('Rebuild', async () => {
      await migrate({ url })
      const pool = openAppPool(url)
      try {
        const { samples, movedDues } = await rebuild(pool, Date.now(), {
          isAnew: true,
          onProgress: reportProgress('Rebuild'),
        })
        return {
          summary: `${name}: ${samples} samples derived again, ${movedDues.length} deadlines moved.`,
          value: undefined,
        }
      } finally {
        await pool.end()
      }
    })
  }
  return undefined
})
