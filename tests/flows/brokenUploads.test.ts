import { readdirSync, readlinkSync } from 'node:fs'
import { connect } from 'node:net'
import { expect, test, vi } from 'vitest'
import { makeTestKey } from '@/tests/setup/apiKey'
import { makeTestDatabase } from '@/tests/setup/database'
import { startTestServer } from '@/tests/setup/server'

const UPLOADS = 400
const AT_A_TIME = 20

/** How many sockets a process has open. */
function countSockets(pid: number): number {
  const folder = `/proc/${pid}/fd`
  return readdirSync(folder).filter((name) => {
    try {
      return readlinkSync(`${folder}/${name}`).startsWith('socket:')
    } catch {
      return false
    }
  }).length
}

test('400 uploads that break off write at most a line each, and no stack', async () => {
  const database = await makeTestDatabase()
  const server = await startTestServer(database.url)
  const key = await makeTestKey(database)
  const { port } = new URL(server.address)

  /** Sends the beginning of a body and waits until all of that has left; then cuts the connection. */
  const breakOff = (path: string, type: string, credentials: string) =>
    new Promise<void>((resolve, reject) => {
      const socket = connect(Number(port), '127.0.0.1')
      const head = `POST ${path} HTTP/1.1\r\nhost: localhost\r\n${credentials}content-type: ${type}\r\ncontent-length: 100000\r\n\r\n`
      socket.on('error', reject)
      socket.on('close', () => resolve())
      socket.write(`${head}${'a'.repeat(20_000)}`, () => socket.resetAndDestroy())
    })

  // Connections of the database and of the probe stay open, so they are counted after a first one.
  await breakOff('/api/events', 'application/x-ndjson', `authorization: Bearer ${key}\r\n`)
  expect((await fetch(`${server.address}/api/health`)).status).toBe(200)
  const before = countSockets(server.pid)
  for (let sent = 0; sent < UPLOADS; sent += AT_A_TIME)
    await Promise.all(
      Array.from({ length: AT_A_TIME }, (_, n) =>
        n % 2 === 0
          ? breakOff('/api/events', 'application/x-ndjson', `authorization: Bearer ${key}\r\n`)
          : breakOff('/api/sign-in', 'application/x-www-form-urlencoded', 'sec-fetch-site: same-origin\r\n'),
      ),
    )
  // Every connection of an upload is closed; those of the database's pools are at most 24.
  await vi.waitFor(() => expect(countSockets(server.pid)).toBeLessThan(before + 24), { timeout: 60_000 })
  expect((await fetch(`${server.address}/api/health`)).status).toBe(200)
  const lines = (await server.errors()).split('\n').filter((line) => line !== '')
  expect(lines.filter((line) => /^\s+at /.test(line))).toEqual([])
  expect(lines.length).toBeLessThanOrEqual(UPLOADS)
})
