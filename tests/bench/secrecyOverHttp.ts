import { randomBytes } from 'node:crypto'
import { KITS } from '@/tests/access/twoMakers'
import { makeTestKey } from '@/tests/setup/apiKey'
import { signInAs } from '@/tests/setup/signIn'
import type { BenchEngine } from './benchServer'
import { FOREIGN_OR_UNKNOWN, FOREIGN_SOURCE, fillCompetitors, makeWaybill } from './competitors'
import { type TimedAnswer, TimedClient } from './timedClient'
import { measureDifference, type TimingDifference } from './timingDifference'

type Ask = (code: string, side: 0 | 1, n: number) => Promise<TimedAnswer>

/**
 * Whether the server's response time lets a plant contact, or a key of one plant, distinguish another maker's data from
 * unknown data. Each kit code is requested once per bench.
 */
export async function* benchSecrecyOverHttp(engine: BenchEngine): AsyncGenerator<TimingDifference> {
  const { url, pool, authPool } = await engine.database('bench_secrecy_http')
  const codes = await fillCompetitors(pool)
  const secret = randomBytes(32).toString('base64url')
  const site = await engine.serve(url, {
    HOLDFAST_SECRET: secret,
    HOLDFAST_DATA_DIR: engine.folder,
    // Measures response times, so the rate limit is lifted.
    HOLDFAST_REQUESTS_A_MINUTE: '9999999',
  })
  const contact = await signInAs({ authPool }, { plants: ['PL1'] }, undefined, secret)
  const key = await makeTestKey(
    { authPool },
    {
      sources: ['desk'],
      sides: ['plant'],
      kinds: null,
      plants: ['PL1'],
      mayImportHistory: false,
      maySetRegister: false,
    },
  )
  const asker = new TimedClient(site)

  const pair = (name: string, isRight: (answer: TimedAnswer) => boolean, ask: Ask) =>
    measureDifference(name, FOREIGN_OR_UNKNOWN, async (side, n) => {
      const code = codes[side][n] as string
      const answer = await ask(code, side, n)
      if (!isRight(answer)) throw new Error(`${name}: ${answer.status} for ${code}: ${answer.body}`)
      return answer.tookMs
    })
  const isAbsent = ({ status }: TimedAnswer) => status === 404
  const isUnplaced = ({ body }: TimedAnswer) => body.includes('"unplaced":1')
  const isAccepted = ({ body }: TimedAnswer) => body.includes('"accepted":1')
  const get = (path: string) => asker.send('GET', path, contact.headers)
  const json = (path: string, headers: Record<string, string>, body: unknown) =>
    asker.send('POST', path, { ...headers, 'content-type': 'application/json' }, JSON.stringify(body))
  const token = () => randomBytes(18).toString('base64url')
  const at = new Date(Date.now() - 3_600_000).toISOString()
  const event = (name: string, n: number, more: Record<string, string>) =>
    json(
      '/api/events',
      { authorization: `Bearer ${key}` },
      { source: 'desk', id: `${name} ${n}`, at, ...more },
    )
  const own = KITS['PL1 LAB']

  yield await pair('GET /samples/CODE', isAbsent, (code) => get(`/samples/${code}`))
  yield await pair(
    'GET /api/board?search=CODE',
    ({ status }) => status === 200,
    (code) => get(`/api/board?search=${code}`),
  )
  yield await pair(
    'GET /?search=CODE',
    ({ status }) => status === 200,
    (code) => get(`/?search=${code}`),
  )
  yield await pair('GET /plants/CODE', isAbsent, (_code, side) => get(`/plants/${['PL2', 'PL9'][side]}`))
  yield await pair('GET /api/plants/CODE', isAbsent, (_code, side) =>
    get(`/api/plants/${['PL2', 'PL9'][side]}`),
  )
  yield await pair('GET /plants/CODE/history', isAbsent, (_code, side) =>
    get(`/plants/${['PL2', 'PL9'][side]}/history`),
  )
  yield await pair('GET /api/plants/CODE/history', isAbsent, (_code, side) =>
    get(`/api/plants/${['PL2', 'PL9'][side]}/history`),
  )
  yield await pair('POST /api/record', isAbsent, (code) =>
    json('/api/record', contact.headers, { token: token(), sample: code, kind: 'collected', when: 'now' }),
  )
  yield await pair('POST /api/record/undo', isAbsent, (code) =>
    json('/api/record/undo', contact.headers, {
      token: token(),
      sample: code,
      event: `${FOREIGN_SOURCE}/${code} cut`,
    }),
  )
  yield await pair('POST /api/events of a kit', isUnplaced, (code, side, n) =>
    event(`kit ${side}`, n, { sample: code, kind: 'sealed' }),
  )
  yield await pair('POST /api/events that withdraws an event of a kit', isUnplaced, (code, side, n) =>
    event(`withdrawn ${side}`, n, {
      sample: code,
      kind: 'withdrawn',
      corrects: `${FOREIGN_SOURCE}/${code} cut`,
    }),
  )
  yield await pair('POST /api/events of a waybill', isUnplaced, (_code, side, n) =>
    event(`waybill ${side}`, n, {
      kind: 'returned',
      service: 'road',
      waybill: side === 0 ? makeWaybill(n) : `NOBODY${n}`,
    }),
  )
  yield await pair('POST /api/events of an own kit that corrects an event', isAccepted, (code, side, n) =>
    event(`corrects ${side}`, n, {
      sample: own,
      kind: 'withdrawn',
      corrects: `${FOREIGN_SOURCE}/${code} sent`,
    }),
  )
  yield await pair('POST /api/events of an own kit sent under a waybill', isAccepted, (_code, side, n) =>
    event(`sent ${side}`, n, {
      sample: own,
      kind: 'dispatched',
      service: 'road',
      waybill: side === 0 ? makeWaybill(n) : `NOBODY${n}`,
    }),
  )
  asker.close()
}
