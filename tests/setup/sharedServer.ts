import { inject } from 'vitest'
import type { SharedProgramme } from '@/tests/flows/sharedProgrammes'
import { connect } from './database'
import { atEndOfFile } from './endOfFile'
import type { SharedAnswer } from './sharedServers'
import { type ServedProgramme, toSignedIn } from './signIn'

/**
 * A server that other test files use at the same time: only read from it, or write what no other file reads. Call it in
 * `beforeAll`.
 */
export async function openSharedServer(name: SharedProgramme): Promise<ServedProgramme> {
  const { address, databaseUrl, administrator } = await fetchServer(name)
  const database = connect(databaseUrl)
  atEndOfFile(database.close)
  return {
    address,
    errors: async () => (await fetchServer(name)).errors,
    database,
    administrator: toSignedIn(administrator),
  }
}

async function fetchServer(name: SharedProgramme): Promise<SharedAnswer> {
  const answer = await fetch(`${inject('sharedServers')}/${name}`)
  if (!answer.ok) throw new Error(await answer.text())
  return (await answer.json()) as SharedAnswer
}
