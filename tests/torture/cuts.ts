import { setTimeout as wait } from 'node:timers/promises'
import { startWebServer } from '@/lib/commands/webServer'
import { findFreePort } from '@/lib/store/engine/freePort'
import { openCuttingProxy } from './cuttingProxy'
import type { Torment } from './torment'

const LIMIT_MS = 300_000

export const cuts: Torment = {
  name: 'cuts',
  what: 'Connections between client and server, and between server and database, break off in the middle of requests, answers and statements.',
  round: 'a connection cut',
  rounds: 600,
  shortRounds: 30,
  mostRoundSeconds: 2,
  async run({ rounds, seed, random, shared }) {
    const victim = await shared()
    const url = new URL(await victim.databaseUrl())
    const database = { host: url.hostname, port: Number(url.port) }
    const toDatabase = await openCuttingProxy({
      target: () => database,
      random,
      // A new connection reads the register first, which has to come through now and then.
      mostBytes: 600_000,
    })
    url.port = String(toDatabase.port)
    const server = await startWebServer({
      databaseUrl: url.href,
      port: await findFreePort(),
      onError: () => {},
      variables: victim.markServer(),
    })
    const toServer = await openCuttingProxy({
      target: () => ({ host: '127.0.0.1', port: server.port }),
      random,
      mostBytes: 15_000,
    })
    const clients = victim.startClients(seed, () => `http://127.0.0.1:${toServer.port}`)
    try {
      const endAt = Date.now() + LIMIT_MS
      while (toServer.cuts() + toDatabase.cuts() < rounds && Date.now() < endAt) await wait(50)
    } finally {
      await clients.stop()
      await server.stop()
      await Promise.all([toServer.close(), toDatabase.close()])
    }
    return { did: `Cut ${toServer.cuts()} connections of clients and ${toDatabase.cuts()} of the database.` }
  },
}
