import type { RunningCommand } from '@/tests/setup/launcher'
import type { Torment } from './torment'
import type { Victim } from './victim'

const MOST_AT_ONCE = 3

export const secondStarts: Torment = {
  name: 'second starts',
  what: 'Others start on the same data folder: beside a running Holdfast, and several at once where none runs.',
  round: 'up to three starts at once; beside a running one in two rounds of three',
  rounds: 9,
  shortRounds: 3,
  mostRoundSeconds: 120,
  async run({ rounds, seed, random, shared }) {
    const victim = await shared()
    let refused = 0
    for (let round = 0; round < rounds; round++) {
      const count = 1 + Math.floor(random() * MOST_AT_ONCE)
      if (round % 3 < 2) {
        const clients = victim.startClients(seed + round)
        try {
          await clients.waitForMore(1)
          const others = Array.from({ length: count }, () => victim.launchBeside('start'))
          for (const other of others) await expectRefused(victim, other)
          await clients.waitForMore(1)
          refused += count
        } finally {
          await clients.stop()
        }
      } else {
        await victim.stop()
        const all = Array.from({ length: count + 1 }, () => victim.launchBeside('start'))
        // Those that are refused end before the one that is not serves.
        const first = await Promise.any(all.map((run) => run.waitFor(/Serving/).then(() => run))).catch(
          ({ errors }: AggregateError) => {
            throw new Error(errors.map(({ message }) => message).join('\n'))
          },
        )
        victim.adopt(first)
        for (const other of all) if (other !== first) await expectRefused(victim, other)
        refused += count
        await victim.ensureServing()
      }
    }
    return { did: `${refused} starts on a folder in use were refused.` }
  },
}

async function expectRefused({ record }: Victim, { ended, output }: RunningCommand) {
  const how = await ended
  if (how !== 1 || !/already running/.test(output()))
    record.wrongAnswers.push(`a second start ended with ${how} and said:\n${output()}`)
}
