import { performance } from 'node:perf_hooks'

/** Something to time: a name, the units per run, and the run. */
export interface Contender {
  name: string
  count: number
  run: () => void | Promise<void>
}

/** Two contenders, timed alternately. Times in milliseconds per 1,000 units, the median of the rounds. */
export interface Comparison {
  name: string
  subject: string
  plainest: string
  subjectMs: number
  plainestMs: number
  /** How many times faster the subject is per unit; the median of the ratios of all rounds. */
  ratio: number
  lowestRatio: number
  highestRatio: number
  aim: string
  isMet: boolean | null
}

interface Aim {
  aim: string
  aimRatio?: number
  rounds?: number
}

/** Times two contenders alternately after a warm-up of each, so that a change of the machine's speed affects both. */
export async function compareAsync(
  name: string,
  subject: Contender,
  plainest: Contender,
  aim: Aim,
): Promise<Comparison> {
  await subject.run()
  await plainest.run()
  const rounds: [number, number][] = []
  for (let round = 0; round < (aim.rounds ?? 5); round += 1)
    rounds.push([await timeRun(subject), await timeRun(plainest)])
  return summarize(name, subject, plainest, rounds, aim)
}

/** The same for synchronous work. */
export function compare(name: string, subject: Contender, plainest: Contender, aim: Aim): Comparison {
  subject.run()
  plainest.run()
  const rounds: [number, number][] = []
  for (let round = 0; round < (aim.rounds ?? 5); round += 1)
    rounds.push([timeSyncRun(subject), timeSyncRun(plainest)])
  return summarize(name, subject, plainest, rounds, aim)
}

async function timeRun({ run, count }: Contender): Promise<number> {
  const start = performance.now()
  await run()
  return ((performance.now() - start) / count) * 1_000
}

function timeSyncRun({ run, count }: Contender): number {
  const start = performance.now()
  run()
  return ((performance.now() - start) / count) * 1_000
}

function summarize(
  name: string,
  subject: Contender,
  plainest: Contender,
  rounds: [number, number][],
  aim: Aim,
): Comparison {
  const ratios = rounds.map(([ours, theirs]) => theirs / ours).sort((a, b) => a - b)
  const ratio = median(ratios)
  return {
    name,
    subject: subject.name,
    plainest: plainest.name,
    subjectMs: median(rounds.map(([ours]) => ours)),
    plainestMs: median(rounds.map(([, theirs]) => theirs)),
    ratio,
    lowestRatio: ratios[0] as number,
    highestRatio: ratios.at(-1) as number,
    aim: aim.aim,
    isMet: aim.aimRatio === undefined ? null : ratio >= aim.aimRatio,
  }
}

function median(values: number[]): number {
  const ascending = [...values].sort((a, b) => a - b)
  const middle = Math.floor(ascending.length / 2)
  return ascending.length % 2 === 1
    ? (ascending[middle] as number)
    : ((ascending[middle - 1] as number) + (ascending[middle] as number)) / 2
}
