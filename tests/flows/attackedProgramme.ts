import { markAsDemo } from '@/lib/store/scope/appMetadata'
import { fillTwoMakers } from '@/tests/access/twoMakers'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'

/** A demo of two competing plants that is under attack. */
export interface AttackedProgramme {
  database: TestDatabase
  server: TestServer
  /** The contact of the first plant, out to learn of the second and to harm it. */
  rival: SignedIn
  administrator: SignedIn
}

export async function startAttacked(): Promise<AttackedProgramme> {
  const database = await makeTestDatabase()
  await fillAttacked(database)
  const server = await startTestServer(database.url)
  const rival = await signInAs(database, { plants: ['PL1'] })
  return { database, server, rival, administrator: await signInAs(database, ADMINISTRATOR) }
}

/** Makes a demo of two competing plants. */
export async function fillAttacked(database: TestDatabase): Promise<void> {
  await fillTwoMakers(database)
  await markAsDemo(database.app, Date.now())
}

/** The type of what a plain form sends. */
export const FORM = 'application/x-www-form-urlencoded'
