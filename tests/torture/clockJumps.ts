import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import { pathToFileURL } from 'node:url'
import { startWebServer } from '@/lib/commands/webServer'
import { DAY, HOUR } from '@/lib/hold/zone'
import { findFreePort } from '@/lib/store/engine/freePort'
import { ADMINISTRATOR, signInAs } from '@/tests/setup/signIn'
import type { Torment } from './torment'

/** None is as long as a session, 30 days: a clock further ahead ends the session that reads the board. */
const JUMPS = [3 * DAY, -3 * DAY, HOUR, -HOUR, 20 * DAY, 1_000, -1_000]
const SECRET = 'a secret of the torture that nobody needs to guess'

export const clockJumps: Torment = {
  name: 'clock jumps',
  what: 'The clock of a server goes ahead and back by up to days while clients post and its board is read; the machine’s own clock stays.',
  round: 'a jump, and one back',
  rounds: 10,
  shortRounds: 2,
  mostRoundSeconds: 60,
  async run({ rounds, seed, shared }) {
    const victim = await shared()
    const file = join(victim.folder, 'clock-offset')
    const setOffset = (ms: number) => writeFileSync(file, String(ms))
    setOffset(0)
    const preload = pathToFileURL(join(import.meta.dirname, 'jumpingClock.mjs')).href
    const server = await startWebServer({
      databaseUrl: await victim.databaseUrl(),
      port: await findFreePort(),
      onError: () => {},
      variables: {
        ...victim.markServer(),
        HOLDFAST_SECRET: SECRET,
        HOLDFAST_TORTURE_CLOCK: file,
        NODE_OPTIONS: `--import ${preload}`,
      },
    })
    const address = `http://127.0.0.1:${server.port}`
    const { headers } = await victim.withDatabase((database) =>
      signInAs(database, ADMINISTRATOR, undefined, SECRET),
    )
    const readBoard = async () => {
      const reply = await fetch(`${address}/api/board`, { headers })
      const text = await reply.text()
      if (reply.status !== 200)
        victim.record.wrongAnswers.push(`board: ${reply.status} ${text.slice(0, 200)}`)
    }
    const clients = victim.startClients(seed, () => address)
    try {
      for (let round = 0; round < rounds; round++) {
        for (const offset of [JUMPS[round % JUMPS.length] as number, 0]) {
          setOffset(offset)
          await wait(100)
          await clients.waitForMore(10)
          await readBoard()
        }
      }
      // Nothing is posted after this jump, so what was derived ahead of time is not derived again by chance.
      await clients.stop()
      for (const offset of [3 * DAY, 0]) {
        setOffset(offset)
        await wait(100)
        await readBoard()
      }
    } finally {
      setOffset(0)
      await clients.stop()
      await server.stop()
    }
    return { did: `The clock jumped ${2 * rounds + 2} times.` }
  },
}
