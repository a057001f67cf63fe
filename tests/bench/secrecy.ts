import type pg from 'pg'
import type { Scope } from '@/lib/policy/scope'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { getSampleDossier } from '@/lib/store/read/sample/sampleDossier'
import { atPlant } from '@/tests/cases/reporters'
import { wire } from '@/tests/cases/smallProgramme'
import type { BenchEngine } from './benchServer'
import { FOREIGN_OR_UNKNOWN, fillCompetitors } from './competitors'
import { measureDifference, type TimingDifference } from './timingDifference'

const SCOPE: Scope = { plants: ['PL1'], laboratories: [] }
const REPORTING = atPlant('PL1', 'key bench')

/**
 * Whether the store's response time distinguishes another maker's code from an unknown one: the medians over 2,000
 * requests of each, in pairs, must differ by less than 5 %.
 */
export async function benchSecrecy(engine: BenchEngine): Promise<TimingDifference[]> {
  const { pool } = await engine.database('bench_secrecy')
  const codes = await fillCompetitors(pool)
  return [
    await measureDifference('the store asked for a sample', FOREIGN_OR_UNKNOWN, (side, n) =>
      readForeignSample(pool, codes[side][n] as string),
    ),
    await measureDifference('the store told of an event', FOREIGN_OR_UNKNOWN, (side, n) =>
      reportForeignEvent(pool, codes[side][n] as string),
    ),
  ]
}

async function readForeignSample(pool: pg.Pool, code: string): Promise<void> {
  if ((await getSampleDossier(pool, SCOPE, code, Date.now())) !== null) throw new Error(`${code} was shown`)
}

async function reportForeignEvent(pool: pg.Pool, code: string): Promise<void> {
  const event = { source: 'desk', id: code, sample: code, kind: 'collected', at: '2026-10-20T10:00:00Z' }
  const [answer] = await acceptEvents(pool, wire(event), REPORTING, Date.now())
  if (answer?.acceptance !== 'unplaced') throw new Error(`The event of ${code} was ${answer?.acceptance}`)
}
