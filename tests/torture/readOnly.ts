import { setTimeout as wait } from 'node:timers/promises'
import { getDatabaseName } from '@/lib/store/migrate/databases'
import type { Torment } from './torment'
import type { Victim } from './victim'

const LONGEST_MS = 1_500

export const readOnly: Torment = {
  name: 'read-only',
  what: 'The database takes no writes for a while, as on a standby or by an administrator’s setting, while clients post.',
  round: 'a spell without writes',
  rounds: 8,
  shortRounds: 2,
  mostRoundSeconds: 30,
  async run({ rounds, seed, random, shared }) {
    const victim = await shared()
    const clients = victim.startClients(seed)
    try {
      for (let round = 0; round < rounds; round++) {
        await clients.waitForMore(1)
        await setReadOnly(victim, true)
        await wait(random() * LONGEST_MS)
        await setReadOnly(victim, false)
      }
      await clients.waitForMore(1)
    } finally {
      await setReadOnly(victim, false)
      await clients.stop()
    }
    return { did: `${rounds} times without writes.` }
  },
}

/** Sets it for new sessions and ends all others, each of which would go on as before. */
async function setReadOnly(victim: Victim, isReadOnly: boolean) {
  const name = getDatabaseName(await victim.databaseUrl())
  await victim.withDatabase(async ({ owner }) => {
    const client = await owner.connect()
    try {
      await client.query('set session characteristics as transaction read write')
      await client.query(`alter database ${name} set default_transaction_read_only = ${isReadOnly}`)
      await client.query(
        'select pg_terminate_backend(pid) from pg_stat_activity where datname = $1 and pid <> pg_backend_pid()',
        [name],
      )
    } finally {
      client.release()
    }
  })
}
