import { setTimeout as wait } from 'node:timers/promises'
import pg from 'pg'
import type { Torment } from './torment'
import type { Victim } from './victim'

const LONGEST_MS = 2_000

export const noConnections: Torment = {
  name: 'no connections',
  what: 'Others end the sessions of the server and take every connection that the database has, while clients post.',
  round: 'a spell without a free connection',
  rounds: 6,
  shortRounds: 1,
  mostRoundSeconds: 60,
  async run({ rounds, seed, random, shared }) {
    const victim = await shared()
    const clients = victim.startClients(seed)
    let taken = 0
    try {
      for (let round = 0; round < rounds; round++) {
        await clients.waitForMore(1)
        const release = await takeAll(victim)
        taken += release.count
        await wait(random() * LONGEST_MS)
        await release()
      }
      await clients.waitForMore(1)
    } finally {
      await clients.stop()
    }
    return { did: `${rounds} times; took ${taken} connections in all.` }
  },
}

/** Ends the server's sessions and takes every connection that there is. @returns what gives them back. */
async function takeAll(victim: Victim): Promise<{ (): Promise<void>; count: number }> {
  const connectionString = await victim.databaseUrl()
  const held: pg.Client[] = []
  for (let refused = 0; refused < 3; ) {
    const client = new pg.Client({ connectionString, application_name: 'torture' })
    client.on('error', () => {})
    try {
      await client.connect()
      held.push(client)
      refused = 0
      await client.query(
        `select pg_terminate_backend(pid) from pg_stat_activity
         where backend_type = 'client backend' and application_name <> 'torture'`,
      )
    } catch {
      refused += 1
    }
  }
  const release = async () => {
    await Promise.all(held.map((client) => client.end().catch(() => {})))
  }
  return Object.assign(release, { count: held.length })
}
