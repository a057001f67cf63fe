import { createServer } from 'node:http'
import type { AddressInfo } from 'node:net'
import type { TestProject } from 'vitest/node'
import { dropDatabase } from '@/lib/store/migrate/databases'
import { type SharedProgramme, sharedProgrammes } from '@/tests/flows/sharedProgrammes'
import { connect, copyTemplate } from './database'
import { startServer } from './server'
import { ADMINISTRATOR, type Session, signInAs } from './signIn'

declare module 'vitest' {
  export interface ProvidedContext {
    /** URL of the process that starts shared servers. */
    sharedServers: string
  }
}

/** What a test file learns about a shared server. */
export interface SharedAnswer {
  address: string
  databaseUrl: string
  administrator: Session
  errors: string
}

/**
 * Starts a server of each programme when a test file first asks for it, and stops all of them at the end of the run.
 */
export default async function setup(project: TestProject): Promise<() => Promise<void>> {
  const { templateUrl } = project.getProvidedContext()
  const started = new Map<string, ReturnType<typeof start>>()
  const listener = createServer(async ({ url = '' }, reply) => {
    const name = url.slice(1) as SharedProgramme
    const running = started.get(name) ?? start(templateUrl, name)
    started.set(name, running)
    const answer = await running.then(({ tell }) => tell()).catch((error: Error) => error)
    if (answer instanceof Error) reply.writeHead(500).end(answer.stack)
    else reply.end(JSON.stringify(answer))
  })
  await new Promise<void>((resolve) => listener.listen(0, '127.0.0.1', resolve))
  project.provide('sharedServers', `http://127.0.0.1:${(listener.address() as AddressInfo).port}`)
  return async () => {
    listener.close()
    for (const running of started.values()) await running.then(({ stop }) => stop()).catch(() => {})
  }
}

async function start(templateUrl: string, name: SharedProgramme) {
  const { close, ...database } = connect(await copyTemplate(templateUrl))
  // Several files share one address and one person, so the rate limit is lifted.
  const { stop, ...server } = await startServer(database.url, { HOLDFAST_REQUESTS_A_MINUTE: '1000000' })
  const administrator = await signInAs(database, ADMINISTRATOR)
  await sharedProgrammes[name]({ ...server, database, administrator })
  const { address, errors } = server
  return {
    async tell(): Promise<SharedAnswer> {
      return { address, databaseUrl: database.url, administrator, errors: await errors() }
    },
    async stop() {
      await stop()
      await close()
      await dropDatabase(database.url, true)
    },
  }
}
