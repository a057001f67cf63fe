import { beforeAll, describe, expect, test } from 'vitest'
import { KIT, OTHER_KIT, smallRegister } from '@/tests/cases/smallProgramme'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'

let server: TestServer
let database: TestDatabase
let administrator: SignedIn
beforeAll(async () => {
  database = await makeTestDatabase()
  server = await startTestServer(database.url)
  administrator = await signInAs(database, ADMINISTRATOR)
})

async function send(method: string, path: string, type: string | null, body: string) {
  const headers = { ...administrator.headers, ...(type === null ? {} : { 'content-type': type }) }
  const response = await fetch(`${server.address}${path}`, { method, headers, body })
  return { status: response.status, type: response.headers.get('content-type'), body: await response.json() }
}

const cut = { source: 'desk', id: '1', sample: KIT, kind: 'collected', at: '2026-10-19T10:00:00Z' }

describe('PUT /api/register', () => {
  test('says all that is wrong at once, as a problem with pointers, and changes nothing', async () => {
    const wrong = smallRegister({
      plants: [{ code: 'LAB', name: 'A plant', zone: 'Europe/Lisboa' }],
      kits: [{ code: 'ABCDEFGH', plant: 'PL9', laboratory: 'LAB', issuedAt: 'yesterday' }],
    })
    const shapes = await send('PUT', '/api/register', 'application/json', JSON.stringify(wrong))
    expect(shapes).toMatchObject({ status: 422, type: 'application/problem+json' })
    expect(shapes.body.errors.map(({ pointer }: { pointer: string }) => pointer)).toEqual([
      '/plants/0/zone',
      '/kits/0/issuedAt',
      '/plants/0/code',
      '/products/0/plant',
      '/products/1/plant',
    ])
    const references = smallRegister({
      products: [],
      kits: [{ code: 'ABCDEFGH', plant: 'PL9', laboratory: 'LAB', issuedAt: '2026-09-01T08:00:00Z' }],
    })
    const crossed = await send('PUT', '/api/register', 'application/json', JSON.stringify(references))
    expect(crossed.body.errors.map(({ pointer }: { pointer: string }) => pointer)).toEqual([
      '/kits/0/code',
      '/kits/0/plant',
    ])
    expect((await database.owner.query('select 1 from register_entry')).rows).toEqual([])
  })

  test('applies a sound document', async () => {
    expect(
      await send('PUT', '/api/register', 'application/json', JSON.stringify(smallRegister())),
    ).toMatchObject({
      status: 200,
      body: { added: 9 },
    })
  })
})

describe('POST /api/events', () => {
  test('takes one event, a list, NDJSON and CSV, and answers a row per item', async () => {
    const one = await send('POST', '/api/events', 'application/json', JSON.stringify(cut))
    expect(one).toMatchObject({
      status: 200,
      body: { accepted: 1, items: [{ item: 1, result: 'accepted', event: 'desk/1' }] },
    })
    const list = await send(
      'POST',
      '/api/events',
      'application/json; charset=utf-8',
      JSON.stringify([cut, { ...cut, id: '2', kind: 'sealed' }]),
    )
    expect(list.body.items.map(({ result }: { result: string }) => result)).toEqual([
      'already known',
      'accepted',
    ])
    const lines = `${JSON.stringify({ ...cut, id: '3', kind: 'scanned' })}\n\nnot json\n`
    const ndjson = await send('POST', '/api/events', 'application/x-ndjson', lines)
    expect(ndjson).toMatchObject({ status: 200, body: { accepted: 1, refused: 1 } })
    expect(ndjson.body.items[1]).toMatchObject({ item: 2, line: 3, result: 'refused' })
    const csv = await send(
      'POST',
      '/api/events',
      'text/csv',
      `source,id,sample,kind,at,seal\r\ndesk,4,${KIT},scanned,2026-10-19T12:00:00Z,intact\r\n`,
    )
    expect(csv.body).toMatchObject({ accepted: 1 })
    const { rows } = await database.owner.query("select facts from event where id = '4'")
    expect(rows).toEqual([{ facts: { seal: 'intact' } }])
  })

  test('refuses an item with what is wrong and what would be right, and keeps its neighbours', async () => {
    const answer = await send(
      'POST',
      '/api/events',
      'application/json',
      JSON.stringify([
        { ...cut, id: '5', kind: 'cut', at: '2026-10-19T10:00' },
        { ...cut, id: '6', kind: 'scanned' },
      ]),
    )
    expect(answer).toMatchObject({ status: 200, body: { accepted: 1, refused: 1 } })
    expect(answer.body.items[0].problem).toMatchObject({
      status: 422,
      item: 1,
      errors: [
        { pointer: '/kind', detail: expect.any(String), right: expect.stringContaining('collected') },
        { pointer: '/at', detail: expect.any(String), right: expect.stringContaining('zone') },
      ],
    })
  })

  test('answers 422 only where all are refused, 415 and 400 where the body cannot be read', async () => {
    expect((await send('POST', '/api/events', 'application/json', '{}')).status).toBe(422)
    expect((await send('POST', '/api/events', 'application/json', '[]')).status).toBe(200)
    expect(await send('POST', '/api/events', 'application/xml', '<event/>')).toMatchObject({
      status: 415,
      type: 'application/problem+json',
    })
    expect((await send('POST', '/api/events', 'application/json', '{"source":')).status).toBe(400)
    expect((await send('POST', '/api/events', 'text/csv', 'a,a\n1,2\n')).status).toBe(400)
  })

  test('takes a body of 8 MB, and keeps nothing of one beyond its limit', async () => {
    const wide = 'x'.repeat(12_000)
    const events = Array.from({ length: 680 }, (_, n) =>
      JSON.stringify({ ...cut, id: `wide ${n}`, kind: 'scanned', note: wide }),
    )
    const body = events.join('\n')
    expect(body.length).toBeGreaterThan(8_200_000)
    expect(await send('POST', '/api/events', 'application/x-ndjson', body)).toMatchObject({
      status: 200,
      body: { accepted: 680 },
    })
    const beyond = await send(
      'POST',
      '/api/events',
      'application/x-ndjson',
      body.repeat(2).replaceAll('wide ', 'wider '),
    )
    expect(beyond).toMatchObject({ status: 413, type: 'application/problem+json' })
    expect((await database.owner.query("select 1 from event where id like 'wider %'")).rows).toEqual([])
  })

  test('tells a hundred refusals in full, and names and counts the others', async () => {
    const answer = await send('POST', '/api/events', 'application/json', `[${'{},'.repeat(249)}{}]`)
    expect(answer).toMatchObject({ status: 422, body: { accepted: 0, refused: 250 } })
    const rows: Record<string, unknown>[] = answer.body.items
    expect(rows.filter(({ problem }) => problem).length).toBe(100)
    expect(rows.at(-1)).toEqual({ item: 250, result: 'refused' })
  })

  test('takes a hundred events of one consignment in one body', async () => {
    const scan = { source: 'desk', kind: 'scanned', at: '2026-10-19T10:00:00Z', service: 'road' }
    const events = Array.from({ length: 202 }, (_, n) => ({ ...scan, id: `of ${n}`, waybill: `W${n % 2}` }))
    const answer = await send('POST', '/api/events', 'application/json', JSON.stringify(events))
    expect(answer).toMatchObject({ status: 200, body: { unplaced: 200, refused: 2 } })
    expect(answer.body.items.at(-1).problem.errors).toMatchObject([{ pointer: '/waybill' }])
  })

  test('takes 1,500 events of one sample from one reporter, and refuses the rest of a body one by one', async () => {
    const scan = { source: 'desk', kind: 'scanned', at: '2026-10-19T10:00:00Z', sample: OTHER_KIT }
    const events = Array.from({ length: 1_501 }, (_, n) => ({ ...scan, id: `scan ${n}` }))
    const post = (body: object[]) => send('POST', '/api/events', 'application/json', JSON.stringify(body))
    const answer = await post(events)
    expect(answer).toMatchObject({ status: 200, body: { accepted: 1_500, refused: 1 } })
    expect(answer.body.items.at(-1)).toMatchObject({
      result: 'refused',
      problem: { type: 'urn:holdfast:problem:too-many-reports', item: 1_501, errors: [{ pointer: '' }] },
    })
    expect(await post(events)).toMatchObject({ status: 200, body: { alreadyKnown: 1_500, refused: 1 } })
  })

  test('takes 20,000 items, and says of more how to send them', async () => {
    const zeros = (count: number) => `[${'0,'.repeat(count - 1)}0]`
    expect(await send('POST', '/api/events', 'application/json', zeros(20_000))).toMatchObject({
      status: 422,
      body: { refused: 20_000 },
    })
    expect(await send('POST', '/api/events', 'application/json', zeros(20_001))).toMatchObject({
      status: 413,
      body: {
        type: 'urn:holdfast:problem:too-many-items',
        detail: expect.stringMatching(/20000 items.*npm run load/),
      },
    })
    const wide = Array.from({ length: 201 }, (_, n) => `column ${n}`).join(',')
    expect(await send('POST', '/api/events', 'text/csv', `id,${wide}\n`)).toMatchObject({
      status: 413,
      body: { type: 'urn:holdfast:problem:too-many-columns' },
    })
  })
})
