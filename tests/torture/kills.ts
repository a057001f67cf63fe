import { setTimeout as wait } from 'node:timers/promises'
import { killAtOnce } from '@/tests/setup/processes'
import { pick } from './programme'
import type { Torment } from './torment'
import type { Victim } from './victim'

const LONGEST_PAUSE_MS = 1_500
/** How often a second kill hits what is just recovering from the first. */
const SECOND_CHANCE = 1 / 4

/** What can be killed: each names the processes to end now, as they are found. */
const TARGETS: Record<string, (victim: Victim, random: () => number) => number[]> = {
  'web server': (victim) => victim.webServers().map(({ pid }) => pid),
  'database process': (victim, random) => {
    const { postmaster, all } = victim.engineProcesses()
    const children = all.filter((pid) => pid !== postmaster)
    return children.length === 0 ? [] : [pick(random, children)]
  },
  postmaster: (victim) => [victim.engineProcesses().postmaster].filter((pid) => pid !== null),
  launcher: (victim) => [victim.launcher].filter((pid) => pid !== null),
  everything: (victim) => [
    ...[victim.launcher].filter((pid) => pid !== null),
    ...victim.webServers().map(({ pid }) => pid),
    ...victim.engineProcesses().all,
  ],
}

export const kills: Torment = {
  name: 'kills',
  what: 'SIGKILL of the web server, a process of the database, the postmaster, the launcher or all of them, at random moments while clients post.',
  round: 'a kill, and in one of four cases another one during the recovery',
  rounds: 50,
  shortRounds: 5,
  mostRoundSeconds: 60,
  async run({ rounds, seed, random, shared, tell }) {
    const victim = await shared()
    const clients = victim.startClients(seed)
    const done = new Map<string, number>()
    const killOne = (name: string) => {
      const killed = (TARGETS[name]?.(victim, random) ?? []).filter(killAtOnce)
      if (killed.length > 0) done.set(name, (done.get(name) ?? 0) + 1)
    }
    const names = Object.keys(TARGETS)
    try {
      for (let round = 0; round < rounds; round++) {
        await victim.keepServing(clients)
        await wait(random() * LONGEST_PAUSE_MS)
        // Each in turn, so that few rounds reach all of them.
        killOne(names[round % names.length] as string)
        if (random() < SECOND_CHANCE) {
          await wait(random() * LONGEST_PAUSE_MS)
          killOne(pick(random, names))
        }
        await victim.ensureServing()
        if ((round + 1) % 10 === 0)
          tell(`${round + 1} of ${rounds} rounds, ${victim.record.acknowledged.size} events acknowledged`)
      }
      await victim.keepServing(clients)
    } finally {
      await clients.stop()
    }
    return { did: `Killed ${[...done].map(([name, count]) => `${name} ${count}`).join(', ')}.` }
  },
}
