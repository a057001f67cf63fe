import type pg from 'pg'
import { UNRESTRICTED } from '@/lib/custody/event'
import { readEvents } from '@/lib/intake/formats/readEvents'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { getBoard } from '@/lib/store/read/board'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { withScope } from '@/lib/store/scope/scope'
import type { BenchEngine } from './benchServer'
import { type Comparison, compareAsync } from './compare'
import { makeManyEvents, makeManyKits } from './manyEvents'

const OPEN = 150
const BOARDS = 40
const NOW = Date.UTC(2026, 1, 20)

/** The board's query at 1,000 and 100,000 samples, 150 of them open, against an index read of as many rows. */
export async function benchBoards(engine: BenchEngine): Promise<Comparison[]> {
  const small = await makeProgramme(engine, 'bench_board_small', 1_000)
  const large = await makeProgramme(engine, 'bench_board_large', 100_000)
  const boards = (name: string, pool: pg.Pool) => ({
    name,
    count: BOARDS,
    run: async () => {
      for (let n = 0; n < BOARDS; n += 1) {
        const { counts } = await getBoard(pool, 'all', {}, NOW)
        if (counts.total !== OPEN) throw new Error(`${counts.total} samples are open, not ${OPEN}`)
      }
    },
  })
  const indexRead = {
    name: `an index read of ${OPEN} rows`,
    count: BOARDS,
    run: async () => {
      for (let n = 0; n < BOARDS; n += 1) {
        const { rowCount } = await withScope(large, 'all', (client) =>
          client.query('select * from sample where settled is null order by pressing_at, code limit 400'),
        )
        if (rowCount !== OPEN) throw new Error(`${rowCount} rows were read, not ${OPEN}`)
      }
    },
  }
  return [
    await compareAsync('board at 100,000 samples', boards('the board', large), indexRead, {
      aim: 'a third as fast as the index read',
      aimRatio: 1 / 3,
    }),
    await compareAsync(
      'board at 100,000 against 1,000 samples',
      boards('at 100,000', large),
      boards('at 1,000', small),
      {
        aim: 'the same at both sizes',
        aimRatio: 0.8,
      },
    ),
  ]
}

/** A database with `samples` samples, the last of them open. */
async function makeProgramme(engine: BenchEngine, name: string, samples: number): Promise<pg.Pool> {
  const { url, pool } = await engine.database(name)
  const register = makeManyKits(samples, 2)
  await applyRegister(pool, register, NOW)
  const codes = register.kits.map(({ code }) => code)
  // Every sample is cut; all but the last ones are also cancelled, and so settled.
  const events = codes.map((code, n) => ({
    ...(makeManyEvents([code], 2, `b${n}`)[1] as Record<string, string>),
    id: `b${n}`,
    at: new Date(NOW - (n % 9) * 86_400_000).toISOString(),
  }))
  const ends = codes.slice(0, samples - OPEN).map((code, n) => ({
    source: 'bench desk',
    id: `e${n}`,
    sample: code,
    kind: 'cancelled',
    at: new Date(NOW).toISOString(),
  }))
  const body = [...events, ...ends].map((event) => JSON.stringify(event)).join('\n')
  await acceptEvents(pool, () => readEvents(body, 'ndjson', () => 'UTC'), UNRESTRICTED, NOW)
  const { openOwnerPool } = await import('@/lib/store/scope/pool')
  const owner = openOwnerPool(url, { max: 1 })
  await owner.query('vacuum analyze')
  await owner.end()
  return pool
}
