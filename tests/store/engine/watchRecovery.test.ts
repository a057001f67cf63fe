import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import pg from 'pg'
import { expect, test } from 'vitest'
import { getClusterFolder } from '@/lib/store/engine/cluster'
import { startEngine } from '@/lib/store/engine/engine'
import { findClusterProcesses } from '@/lib/store/engine/processes'
import { atEndOfFile } from '@/tests/setup/endOfFile'

const dataDir = mkdtempSync(join(tmpdir(), 'holdfast-recovery-'))
atEndOfFile(async () => rmSync(dataDir, { recursive: true, force: true }))

/** The process of the cluster whose title says that it does this, once there is one. */
async function waitForProcess(role: string): Promise<number> {
  const isWanted = (pid: number) => {
    try {
      return readFileSync(`/proc/${pid}/cmdline`, 'utf8').includes(`: ${role}`)
    } catch {
      return false
    }
  }
  let found: number | undefined
  await expect
    .poll(
      () => {
        found = findClusterProcesses(getClusterFolder(dataDir)).all.find(isWanted)
        return found
      },
      { interval: 1, timeout: 20_000 },
    )
    .toBeTypeOf('number')
  return found as unknown as number
}

async function ask(url: string, sql: string) {
  const client = new pg.Client({ connectionString: url })
  client.on('error', () => {})
  await client.connect()
  const { rows } = await client.query(sql)
  await client.end()
  return rows
}

test.skipIf(process.platform !== 'linux')(
  'a PostgreSQL that waits for a startup process which was killed counts as dead, and the next start has all rows',
  async () => {
    const engine = await startEngine({ dataDir })
    atEndOfFile(() => engine.stop())
    const why = new Promise<string>((resolve) => engine.onDeath(resolve))
    // Much to replay, so that the startup process lives long enough to be found.
    await ask(engine.url('postgres'), 'create table kept as select generate_series(1, 200000) as n')
    process.kill(await waitForProcess('checkpointer'), 'SIGKILL')
    process.kill(await waitForProcess('startup'), 'SIGKILL')
    expect(await why).toMatch(/accepts no connections|exited unexpectedly/)
    await engine.stop()
    const again = await startEngine({ dataDir })
    atEndOfFile(() => again.stop())
    expect(await ask(again.url('postgres'), 'select count(*)::int as n from kept')).toEqual([{ n: 200_000 }])
  },
)
