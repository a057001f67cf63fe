import { randomBytes, randomUUID } from 'node:crypto'
import type pg from 'pg'
import type { BenchEngine } from './benchServer'
import { type TimedAnswer, TimedClient } from './timedClient'
import { countPairsWithWarmUp, measureDifference, type TimingDifference } from './timingDifference'

const KNOWN_OR_UNKNOWN = ['a known address', 'an unknown one'] as const

/**
 * Whether the response time of sign-in distinguishes a known address from an unknown one: when a mail is requested, for
 * the next request, and for a wrong code. Each request has another source address in 127.0.0.0/8, since one source may
 * ask 20 times in a quarter of an hour.
 */
export async function* benchSignIn(engine: BenchEngine): AsyncGenerator<TimingDifference> {
  const { url, authPool } = await engine.database('bench_sign_in')
  const site = await engine.serve(url, {
    HOLDFAST_SECRET: randomBytes(32).toString('base64url'),
    HOLDFAST_DATA_DIR: engine.folder,
  })
  const addresses = await fillPeople(authPool)
  let sources = 0
  const asked: [string[], string[]] = [[], []]

  /** Requests a mail, then sends `next` over the same connection. */
  const askFor = async (side: 0 | 1, n: number, next?: (asker: TimedClient) => Promise<TimedAnswer>) => {
    const asker = new TimedClient(site, makeSourceAddress(sources++))
    // Opens the connection before anything is timed.
    await asker.send('GET', '/api/health')
    const answer = await asker.sendForm('/api/sign-in', { email: addresses[side][n] as string })
    const [cookie = ''] = answer.headers['set-cookie'] ?? []
    if (answer.status !== 303 || cookie === '') throw new Error(`${answer.status}: ${answer.body}`)
    asked[side][n] = cookie.split(';')[0] as string
    const timed = next ? await next(asker) : answer
    asker.close()
    return timed.tookMs
  }
  yield await measureDifference('POST /api/sign-in', KNOWN_OR_UNKNOWN, askFor)
  yield await measureDifference(
    'GET /api/health right after POST /api/sign-in',
    KNOWN_OR_UNKNOWN,
    (side, n) => askFor(side, n, (asker) => asker.send('GET', '/api/health')),
  )
  const asker = new TimedClient(site)
  yield await measureDifference(
    'POST /api/sign-in/code with a wrong code',
    KNOWN_OR_UNKNOWN,
    async (side, n) => {
      const cookie = asked[side][n] as string
      const answer = await asker.sendForm('/api/sign-in/code', { code: 'none' }, { cookie })
      if (answer.headers.location !== '/sign-in/code?left=4') throw new Error(`${answer.headers.location}`)
      return answer.tookMs
    },
  )
  asker.close()
}

/** Creates as many people as there are pairs. Returns their addresses, and as many unknown ones. */
async function fillPeople(authPool: pg.Pool): Promise<readonly [string[], string[]]> {
  const make = () =>
    Array.from({ length: countPairsWithWarmUp() }, () => `${randomBytes(8).toString('hex')}@test.invalid`)
  const known = make()
  await authPool.query(
    `insert into person (id, email, name) select id, email, 'A person of the bench'
     from unnest($1::text[], $2::text[]) as one (id, email)`,
    [known.map(() => randomUUID()), known],
  )
  return [known, make()]
}

/** The n-th address in 127.0.0.0/8. */
function makeSourceAddress(n: number): string {
  return `127.${1 + Math.floor(n / 62_500)}.${Math.floor(n / 250) % 250}.${1 + (n % 250)}`
}
