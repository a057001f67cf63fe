import { tmpdir } from 'node:os'
import { parseArgs } from 'node:util'
import { ensureBuild } from '@/lib/commands/build'
import { closeOnShutdown, shutDownOnSignals } from '@/lib/commands/shutdown'
import { endRunningCommands } from '@/tests/setup/launcher'
import { formatOutcomes } from './report'
import { TORMENTS } from './torments'
import { isFaultless, type Outcome, Torture } from './torture'

const USAGE = `npm run torture -- [--rounds N] [--seed N] [--only a,b] [--folder PATH] [--list]
  --rounds N     rounds of each torment; default: its own number
  --seed N       what is random follows from it; default: another one each time
  --only a,b     these torments only
  --folder PATH  where data folders are made for the time; default: the system's temporary folder
  --list         says what the torments are, and does nothing`

const HIGHEST_SEED = 2_147_483_645

function readOptions() {
  const text = { type: 'string' } as const
  const { values } = parseArgs({
    options: { rounds: text, seed: text, only: text, folder: text, list: { type: 'boolean' } },
  })
  const names = values.only?.split(',')
  const unknown = names?.find((name) => !TORMENTS.some((one) => one.name === name))
  if (unknown !== undefined)
    throw new Error(`There is no torment "${unknown}". Choose of: ${listNames().join(', ')}.`)
  return {
    rounds: values.rounds === undefined ? undefined : readNumber('--rounds', values.rounds, 1_000_000),
    seed:
      values.seed === undefined
        ? Math.floor(Math.random() * HIGHEST_SEED)
        : readNumber('--seed', values.seed, HIGHEST_SEED),
    torments: TORMENTS.filter(({ name }) => names === undefined || names.includes(name)),
    folder: values.folder ?? tmpdir(),
    isList: values.list === true,
  }
}

const listNames = () => TORMENTS.map(({ name }) => name)

function readNumber(name: string, text: string, highest: number): number {
  const value = Number(text)
  if (!/^\d+$/.test(text) || value > highest)
    throw new Error(`${name} takes a whole number up to ${highest}, not "${text}".`)
  return value
}

/** `npm run torture`: hurts running programmes in every way listed, and holds their ledgers against what was sent. */
async function main(): Promise<number> {
  const options = readOptions()
  if (options.isList) {
    for (const { name, what, round, rounds } of TORMENTS)
      console.log(`${name}: ${what} A round is ${round}; ${rounds} by default.`)
    return 0
  }
  if (process.platform !== 'linux')
    throw new Error('The torture finds and ends processes by /proc, which only Linux has.')
  const { seed, rounds, torments, folder } = options
  console.log(`Seed ${seed}.`)
  await ensureBuild((sentence) => console.log(sentence))
  shutDownOnSignals()
  const torture = new Torture({ seed, parent: folder, tell: (line) => console.log(line) })
  closeOnShutdown('The tortured programmes', async () => {
    await endRunningCommands()
    await torture.close(0)
    return null
  })
  const outcomes: Outcome[] = []
  for (const torment of torments) outcomes.push(await torture.inflict(torment, rounds))
  const left = await torture.close()
  console.log(`\n${formatOutcomes(outcomes)}\n`)
  for (const one of left) console.log(`✗ Left running at the end: ${one}`)
  const failed = outcomes.filter((one) => !isFaultless(one))
  if (failed.length === 0 && left.length === 0) {
    console.log('All 0.')
    return 0
  }
  const again = rounds === undefined ? '' : ` --rounds ${rounds}`
  const only = (failed.length === 0 ? outcomes : failed).map(({ name }) => name).join(',')
  console.log(`Not all 0. To repeat it: npm run torture -- --seed ${seed} --only ${only}${again}`)
  return 1
}

// A torment that was given up may wait for ever.
try {
  process.exit(await main())
} catch (error) {
  console.error(`${(error as Error).message}\n${USAGE}`)
  process.exit(1)
}
