import { performance } from 'node:perf_hooks'
import type pg from 'pg'
import type { Reporting, Scope } from '@/lib/store'
import { acceptEvents } from '@/lib/store/acceptEvents'
import { applyRegister } from '@/lib/store/applyRegister'
import { UNRESTRICTED } from '@/lib/store/eventLedger'
import { sampleDossier } from '@/lib/store/sampleDossier'
import { KITS, REGISTER } from '@/tests/access/twoMakers'
import { wire } from '@/tests/cases/smallProgramme'
import type { BenchEngine } from './benchServer'
import type { Comparison } from './compare'

const SCOPE: Scope = { plants: ['PL1'], laboratories: [] }
const REPORTING: Reporting = { by: 'key bench', kinds: null, plants: ['PL1'], laboratories: null }
const CODES = { foreign: KITS['PL2 LAB'], absent: KITS.nowhere }
type Name = keyof typeof CODES

/**
 * Whether the time of an answer tells another's code from one that is nowhere: the medians over 2,000 requests of
 * each, asked in turns and in both orders, differ by under 5 %.
 */
export async function benchSecrecy(engine: BenchEngine): Promise<Comparison[]> {
  const { pool } = await engine.database('bench_secrecy')
  await applyRegister(pool, REGISTER, Date.now())
  const cut = {
    source: 'other dock',
    id: 'cut',
    sample: CODES.foreign,
    kind: 'collected',
    at: '2026-10-19T10:00:00Z',
  }
  await acceptEvents(pool, wire(cut), UNRESTRICTED, Date.now())
  return [
    await difference('asking for a sample', 2_000, (name) => ask(pool, name)),
    await difference('reporting an event', 2_000, (name, n) => report(pool, name, n)),
  ]
}

async function ask(pool: pg.Pool, name: Name): Promise<void> {
  if ((await sampleDossier(pool, SCOPE, CODES[name], Date.now())) !== null)
    throw new Error(`The ${name} sample was shown`)
}

async function report(pool: pg.Pool, name: Name, n: number): Promise<void> {
  const event = {
    source: 'desk',
    id: `${name} ${n}`,
    sample: CODES[name],
    kind: 'scanned',
    at: '2026-10-20T10:00:00Z',
  }
  const [answer] = await acceptEvents(pool, wire(event), REPORTING, Date.now())
  if (answer?.acceptance !== 'unplaced') throw new Error(`The ${name} event was ${answer?.acceptance}`)
}

async function difference(
  what: string,
  count: number,
  run: (name: Name, n: number) => Promise<void>,
): Promise<Comparison> {
  const warmUp = Math.ceil(count / 10)
  const took: Record<Name, number[]> = { foreign: [], absent: [] }
  for (let n = 0; n < count + warmUp; n += 1)
    for (const name of n % 2 ? (['foreign', 'absent'] as const) : (['absent', 'foreign'] as const)) {
      const startedAt = performance.now()
      await run(name, n)
      if (n >= warmUp) took[name].push(performance.now() - startedAt)
    }
  const [foreign, absent] = [median(took.foreign), median(took.absent)]
  return {
    name: `${what}, another's against nowhere's`,
    subject: "another's",
    plainest: "nowhere's",
    subjectMs: foreign * 1_000,
    plainestMs: absent * 1_000,
    ratio: absent / foreign,
    lowestRatio: absent / foreign,
    highestRatio: absent / foreign,
    aim: 'within 5 % of each other',
    isMet: Math.abs(foreign - absent) / Math.max(foreign, absent) < 0.05,
  }
}

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[values.length >> 1] as number
}
