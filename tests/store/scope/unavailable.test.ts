import { setTimeout as wait } from 'node:timers/promises'
import { beforeAll, expect, test } from 'vitest'
import { openAppPool } from '@/lib/store/scope/pool'
import { withTransaction } from '@/lib/store/scope/transaction'
import { isUnavailable } from '@/lib/store/scope/unavailable'
import { makeTestDatabase, type TestDatabase } from '../../setup/database'

let database: TestDatabase
beforeAll(async () => {
  database = await makeTestDatabase()
})

test('a connection lost between two statements fails the transaction, and the next one works', async () => {
  const lost = withTransaction(database.app, async (client) => {
    const { rows } = await client.query<{ pid: number }>('select pg_backend_pid() as pid')
    const ended = new Promise((resolve) => client.once('end', resolve))
    await database.owner.query('select pg_terminate_backend($1)', [rows[0]?.pid])
    await ended
    await client.query('select 1')
  })
  await expect(lost).rejects.toSatisfy(isUnavailable)
  expect(await withTransaction(database.app, (client) => client.query('select 1 as one'))).toMatchObject({
    rows: [{ one: 1 }],
  })
})

test('a connection that breaks without a listener does not end the process, and is not reused', async () => {
  const pool = openAppPool(database.url, { max: 1 })
  const faults: unknown[] = []
  const onFault = (error: unknown) => faults.push(error)
  process.on('uncaughtException', onFault)
  // Like a connection that breaks between being handed out by the pool and its user listening for errors.
  const client = await pool.connect()
  const { rows } = await client.query<{ pid: number }>('select pg_backend_pid() as pid')
  await database.owner.query('select pg_terminate_backend($1)', [rows[0]?.pid])
  await wait(300)
  client.release()
  await pool.query('select 1')
  await pool.end()
  process.off('uncaughtException', onFault)
  expect(faults).toEqual([])
})

test('a missing server is unavailable; a wrong statement is another error', async () => {
  const nowhere = openAppPool('postgresql://nobody@127.0.0.1:1/nothing')
  await expect(nowhere.query('select 1')).rejects.toSatisfy(isUnavailable)
  await nowhere.end()
  await expect(database.app.query('selec')).rejects.not.toSatisfy(isUnavailable)
})
