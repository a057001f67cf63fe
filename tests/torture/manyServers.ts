import { startWebServer, type WebServer } from '@/lib/commands/webServer'
import { findFreePort } from '@/lib/store/engine/freePort'
import { killAtOnce } from '@/tests/setup/processes'
import { pick } from './programme'
import type { Torment } from './torment'

export const manyServers: Torment = {
  name: 'many servers',
  what: 'Two and then three servers on one database take posts in turn, and one after another is killed and replaced.',
  round: 'a server killed and replaced',
  rounds: 12,
  shortRounds: 2,
  mostRoundSeconds: 60,
  async run({ rounds, seed, random, shared }) {
    const victim = await shared()
    const databaseUrl = await victim.databaseUrl()
    const start = async () =>
      startWebServer({
        databaseUrl,
        port: await findFreePort(),
        onError: () => {},
        variables: victim.markServer(),
      })
    const servers: WebServer[] = [await start()]
    const addresses = () => [victim.address, ...servers.map(({ port }) => `http://127.0.0.1:${port}`)]
    // A body that is sent again goes to whichever server comes next, so that two may hold the same events at once.
    const clients = victim.startClients(seed, () => pick(random, addresses()))
    try {
      for (let round = 0; round < rounds; round++) {
        if (round === Math.floor(rounds / 2)) servers.push(await start())
        await clients.waitForMore(20)
        const index = Math.floor(random() * servers.length)
        killAtOnce((servers[index] as WebServer).pid)
        servers[index] = await start()
      }
      await clients.waitForMore(20)
    } finally {
      await clients.stop()
      for (const server of servers) await server.stop()
    }
    return { did: `Killed and replaced ${rounds} servers beside the launcher’s own.` }
  },
}
