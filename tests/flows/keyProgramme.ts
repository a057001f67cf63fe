import { KIT, smallRegister } from '@/tests/cases/smallProgramme'
import { makeTestKey } from '@/tests/setup/apiKey'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'

/** A row of the response, as on the wire. */
export interface AnsweredRow {
  result: string
  event?: string
  note?: string
  problem?: { status: number; errors: { pointer: string; detail: string; right: string }[] }
}

/**
 * A server with the small programme, and the secrets of four keys: one that sees everything, one for each plant and one
 * for the laboratory.
 */
export interface KeyProgramme {
  server: TestServer
  database: TestDatabase
  all: string
  mine: string
  theirs: string
  laboratory: string
  ask(
    method: string,
    path: string,
    body: unknown,
    headers: Record<string, string>,
  ): Promise<{ status: number; headers: Headers; body: Record<string, unknown> & { items: AnsweredRow[] } }>
  put(secret: string): ReturnType<KeyProgramme['ask']>
  post(secret: string, ...events: unknown[]): ReturnType<KeyProgramme['ask']>
  /** Posts events and returns the rows of the response. */
  rows(secret: string, ...events: unknown[]): Promise<AnsweredRow[]>
  /** The current stage of a kit's sample. */
  readStage(code: string): Promise<string | null | undefined>
}

export async function startKeyProgramme(): Promise<KeyProgramme> {
  const database = await makeTestDatabase()
  const server = await startTestServer(database.url)
  const limited = { maySetRegister: false, mayImportHistory: false }
  const programme: KeyProgramme = {
    server,
    database,
    all: await makeTestKey(database, { sources: ['programme', 'carrier'] }),
    mine: await makeTestKey(database, { ...limited, sources: ['my dock'], plants: ['PL1'] }),
    theirs: await makeTestKey(database, { ...limited, sources: ['their dock'], plants: ['PL2'] }),
    laboratory: await makeTestKey(database, {
      ...limited,
      sources: ['bench'],
      kinds: ['received'],
      laboratories: ['LAB'],
    }),
    async ask(method, path, body, headers) {
      const response = await fetch(`${server.address}${path}`, {
        method,
        headers: { 'content-type': 'application/json', ...headers },
        body: JSON.stringify(body),
      })
      return { status: response.status, headers: response.headers, body: await response.json() }
    },
    put: (secret) =>
      programme.ask('PUT', '/api/register', smallRegister(), { authorization: `Bearer ${secret}` }),
    post: (secret, ...events) =>
      programme.ask('POST', '/api/events', events, { authorization: `Bearer ${secret}` }),
    rows: async (secret, ...events) => (await programme.post(secret, ...events)).body.items,
    readStage: async (code) =>
      (await database.owner.query('select stage from sample where code = $1', [code])).rows[0]?.stage,
  }
  const { status } = await programme.put(programme.all)
  if (status !== 200) throw new Error(`The register was answered with ${status}`)
  return programme
}

let count = 0

/** An event of the first kit with a unique id, as a source would send it. */
export function createReport(source: string, more: Record<string, unknown> = {}) {
  count += 1
  return { source, id: `e${count}`, sample: KIT, kind: 'scanned', at: '2026-10-19T10:00:00Z', ...more }
}
