import { inject } from 'vitest'
import type { SharedProgramme } from '@/tests/flows/sharedProgrammes'
import { connect } from './database'
import { atEndOfFile } from './endOfFile'
import type { SharedAnswer } from './sharedServers'
import { holdSession, type ServedProgramme } from './signIn'

/**
 * The server of a programme that other files use at the same time: only look at it, or write what none of them looks at. Call it in
 * `beforeAll`.
 */
export async function sharedServer(name: SharedProgramme): Promise<ServedProgramme> {
  const { address, databaseUrl, administrator } = await ask(name)
  const database = connect(databaseUrl)
  atEndOfFile(database.close)
  return {
    address,
    errors: async () => (await ask(name)).errors,
    database,
    administrator: holdSession(administrator),
  }
}

async function ask(name: SharedProgramme): Promise<SharedAnswer> {
  const answer = await fetch(`${inject('sharedServers')}/${name}`)
  if (!answer.ok) throw new Error(await answer.text())
  return (await answer.json()) as SharedAnswer
}
