import { randomBytes, randomUUID } from 'node:crypto'
import type pg from 'pg'
import type { BenchEngine } from './benchServer'
import { type Difference, difference, pairsWithWarmUp } from './difference'
import { Asker, type TimedAnswer } from './timedRequest'

const KNOWN_OR_NOT = ['a known address', 'an unknown one'] as const

/**
 * Whether the time of an answer of the sign-in tells an address that someone has from one that nobody has: of asking
 * for a mail, of what is asked for next, and of typing a wrong code. Each request comes from another source of
 * 127.0.0.0/8, since one source may ask 20 times in a quarter of an hour.
 */
export async function* benchSignIn(engine: BenchEngine): AsyncGenerator<Difference> {
  const { url, door } = await engine.database('bench_sign_in')
  const site = await engine.serve(url, {
    HOLDFAST_SECRET: randomBytes(32).toString('base64url'),
    HOLDFAST_DATA_DIR: engine.folder,
  })
  const addresses = await fillPeople(door)
  let sources = 0
  const asked: [string[], string[]] = [[], []]

  /** Asks for a mail, and does what comes `next` over the same connection. */
  const askFor = async (side: 0 | 1, n: number, next?: (asker: Asker) => Promise<TimedAnswer>) => {
    const asker = new Asker(site, sourceAddress(sources++))
    // The connection is made before anything is timed.
    await asker.ask('GET', '/api/health')
    const answer = await asker.form('/api/sign-in', { email: addresses[side][n] as string })
    const [cookie = ''] = answer.headers['set-cookie'] ?? []
    if (answer.status !== 303 || cookie === '') throw new Error(`${answer.status}: ${answer.body}`)
    asked[side][n] = cookie.split(';')[0] as string
    const timed = next ? await next(asker) : answer
    asker.end()
    return timed.tookMs
  }
  yield await difference('POST /api/sign-in', KNOWN_OR_NOT, askFor)
  yield await difference('GET /api/health right after POST /api/sign-in', KNOWN_OR_NOT, (side, n) =>
    askFor(side, n, (asker) => asker.ask('GET', '/api/health')),
  )
  const asker = new Asker(site)
  yield await difference('POST /api/sign-in/code with a wrong code', KNOWN_OR_NOT, async (side, n) => {
    const cookie = asked[side][n] as string
    const answer = await asker.form('/api/sign-in/code', { code: 'none' }, { cookie })
    if (answer.headers.location !== '/sign-in/code?left=4') throw new Error(`${answer.headers.location}`)
    return answer.tookMs
  })
  asker.end()
}

/** Gives as many addresses of people as there are pairs, and as many that nobody has. */
async function fillPeople(door: pg.Pool): Promise<readonly [string[], string[]]> {
  const make = () =>
    Array.from({ length: pairsWithWarmUp() }, () => `${randomBytes(8).toString('hex')}@test.invalid`)
  const known = make()
  await door.query(
    `insert into person (id, email, name) select id, email, 'A person of the bench'
     from unnest($1::text[], $2::text[]) as one (id, email)`,
    [known.map(() => randomUUID()), known],
  )
  return [known, make()]
}

/** An address of this machine, another for each number. */
function sourceAddress(n: number): string {
  return `127.${1 + Math.floor(n / 62_500)}.${Math.floor(n / 250) % 250}.${1 + (n % 250)}`
}
