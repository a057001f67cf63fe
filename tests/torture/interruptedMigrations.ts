import { setTimeout as wait } from 'node:timers/promises'
import { dropDatabase, ensureDatabase, withDatabase } from '@/lib/store/migrate/databases'
import { migrate } from '@/lib/store/migrate/migrate'
import { openOwnerPool } from '@/lib/store/scope/pool'
import { dumpSchema } from '@/tests/setup/schemaDump'
import { pick } from './programme'
import type { Torment } from './torment'
import type { Victim } from './victim'

const SIGNALS: NodeJS.Signals[] = ['SIGINT', 'SIGTERM', 'SIGKILL']

export const interruptedMigrations: Torment = {
  name: 'migrations',
  what: 'Ctrl-C, SIGTERM and SIGKILL in the middle of migrations until one goes through, and in the middle of an upgrade that derives all rows again.',
  round: 'a new database, migrated with interruptions, and an upgrade of the programme with one',
  rounds: 6,
  shortRounds: 1,
  mostRoundSeconds: 120,
  async run({ rounds, seed, random, shared, isShort }) {
    const victim = await shared()
    const clients = victim.startClients(seed)
    await clients.waitForMore(200).finally(() => clients.stop())
    let interrupted = 0
    for (let round = 0; round < rounds; round++) {
      interrupted += await migrateWithInterruptions(victim, random, isShort ? 2 : 4)
      interrupted += await upgradeWithInterruption(victim, random)
    }
    return { did: `Interrupted ${interrupted} times.` }
  },
}

/** Interrupts up to `most` times. @returns how often. The schema has to be that of a database migrated in one go. */
async function migrateWithInterruptions(victim: Victim, random: () => number, most: number): Promise<number> {
  const server = await victim.databaseUrl()
  const [url, plainUrl] = ['interrupted', 'uninterrupted'].map((name) =>
    withDatabase(server, `torture_${name}`),
  ) as [string, string]
  try {
    await ensureDatabase(plainUrl)
    await migrate({ url: plainUrl })
    for (let count = 0; ; count++) {
      const run = victim.launchBeside('migrate', { DATABASE_URL: url })
      // Later ones are reached only after earlier interruptions, so the wait is for any migration or the end.
      const isInterrupted = count < most
      if (isInterrupted) {
        await Promise.race([run.waitFor(/Applying|Created/), run.ended])
        await wait(random() * 500)
        run.child.kill(pick(random, SIGNALS))
      }
      const how = await run.ended
      if (how === 0) {
        const [schema, plain] = await Promise.all([readSchema(url), readSchema(plainUrl)])
        if (schema !== plain) victim.record.wrongAnswers.push('interrupted migrations left another schema')
        return count
      }
      if (!isInterrupted)
        victim.record.wrongAnswers.push(`a migration ended with ${how} and said:\n${run.output()}`)
      if (!isInterrupted) return count
    }
  } finally {
    await dropDatabase(url, true)
    await dropDatabase(plainUrl, true)
  }
}

/** The schema, and which migrations are recorded how often. */
async function readSchema(url: string): Promise<string> {
  const pool = openOwnerPool(url, { max: 1 })
  const client = await pool.connect()
  try {
    const schema = await dumpSchema(client)
    const { rows } = await client.query(
      'select migration_name, checksum, finished_at is not null as finished from _prisma_migrations order by 1',
    )
    return schema + JSON.stringify(rows)
  } finally {
    client.release(true)
    await pool.end()
  }
}

/** Marks the rows as those of another version, so that the next start derives all of them, and interrupts that. */
async function upgradeWithInterruption(victim: Victim, random: () => number): Promise<number> {
  await victim.withDatabase(({ owner }) =>
    owner.query(`update app_metadata set value = '"an earlier version"' where name = 'zone data'`),
  )
  await victim.stop()
  const run = victim.launch()
  await run.waitFor(/[✓·] Migrations/)
  await wait(random() * 1_000)
  run.child.kill(pick(random, SIGNALS))
  await run.ended
  await victim.ensureServing()
  return 1
}
