import type pg from 'pg'
import type { Scope } from '@/lib/policy/scope'
import { getDueWork } from '@/lib/store/read/due/dueWork'
import { openOwnerPool } from '@/lib/store/scope/pool'
import { withScope } from '@/lib/store/scope/scope'
import type { BenchEngine } from './benchServer'
import { type Comparison, compareAsync } from './compare'
import { DUE_NOW, type DueSize, fillDueProgramme } from './dueProgramme'

const OPEN = 3_000
const TIMES = 10

/** The least that any query for what is due must read. */
const ROWS = `select * from sample where stage is distinct from 'reported' and ending is null and purpose <> 'retained'`

/** The open samples that are not retained; one kit in a hundred is. */
const ASKING = OPEN - OPEN / 100

/**
 * What is owed and overdue at 100,000 samples of 300 plants and 600 duties, 3,000 of them open: for everyone against a
 * plain read of the open rows, against a tenth of the history, and for one plant.
 */
export async function benchDue(engine: BenchEngine): Promise<Comparison[]> {
  const young = await makeProgramme(engine, 'bench_due_young', { samples: 10_000, open: OPEN })
  const old = await makeProgramme(engine, 'bench_due_old', { samples: 100_000, open: OPEN })
  let now = DUE_NOW
  const due = (name: string, pool: pg.Pool, scope: Scope) => ({
    name,
    count: TIMES,
    run: async () => {
      for (let n = 0; n < TIMES; n += 1) {
        now += 1
        const { overdue, owed } = await getDueWork(pool, scope, now)
        if (overdue.length === 0 || owed.length === 0) throw new Error('Nothing is due.')
      }
    },
  })
  const read = {
    name: `a plain read of the ${ASKING} open rows`,
    count: TIMES,
    run: async () => {
      for (let n = 0; n < TIMES; n += 1) {
        const { rowCount } = await withScope(old, 'all', (client) => client.query(ROWS))
        if (rowCount !== ASKING) throw new Error(`${rowCount} rows were read, not ${ASKING}`)
      }
    },
  }
  const whole = due('for everyone', old, 'all')
  const plant = due('for one plant', old, { plants: ['P005'], laboratories: [] })
  return [
    await compareAsync('what is due at 100,000 samples', whole, read, {
      aim: 'a fifth as fast as the read',
      aimRatio: 1 / 5,
    }),
    await compareAsync(
      'what is due at 100,000 against 10,000 samples, as many of them open',
      { ...whole, name: 'at 100,000' },
      due('at 10,000', young, 'all'),
      { aim: 'nearly the same at both sizes', aimRatio: 0.7 },
    ),
    await compareAsync('what is due at one plant against everywhere', plant, whole, {
      aim: 'five times as fast',
      aimRatio: 5,
    }),
  ]
}

async function makeProgramme(engine: BenchEngine, name: string, size: DueSize): Promise<pg.Pool> {
  const { url, pool } = await engine.database(name)
  const owner = openOwnerPool(url, { max: 1 })
  await fillDueProgramme({ app: pool, owner }, size)
  await owner.end()
  return pool
}
