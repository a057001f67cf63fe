import { beforeAll, describe, expect, test } from 'vitest'
import {
  ABSENT,
  FOREIGN,
  type HandProgramme,
  OWN,
  recordAs,
  SPARE,
  startHandProgramme,
} from './byHandProgramme'

let server: HandProgramme
beforeAll(async () => {
  server = await startHandProgramme()
})

const [first, second, third, fourth] = OWN as [string, string, string, string]
const readEvents = async (code: string) => {
  const { rows } = await server.database.owner.query(
    'select source, id, kind, corrects, facts, reported_by from event where sample = $1 order by seq',
    [code],
  )
  return rows
}

describe('recording by hand', () => {
  test('gives another maker’s sample the same answer as an unknown one, on every route', async () => {
    const ways = [
      ['/api/record', { kind: 'collected' }],
      ['/api/record', { kind: 'collected', corrects: 'desk/1' }],
      ['/api/record/undo', { event: 'desk/1' }],
    ] as const
    for (const [path, body] of ways) {
      const foreign = await recordAs(server, server.contact, { ...body, sample: FOREIGN }, path)
      const absent = await recordAs(server, server.contact, { ...body, sample: ABSENT }, path)
      expect(foreign.status, path).toBe(404)
      expect(foreign).toEqual(absent)
    }
    const mixed = await recordAs(server, server.contact, { kind: 'collected', sample: [first, FOREIGN] })
    expect(mixed.status).toBe(404)
    expect([...(await readEvents(first)), ...(await readEvents(FOREIGN))]).toEqual([])
  })

  test('refuses a kind that is not the person’s to report', async () => {
    const contact = await recordAs(server, server.contact, { kind: 'received', sample: first })
    const desk = await recordAs(server, server.desk, { kind: 'collected', sample: first })
    const extension = await recordAs(server, server.contact, { kind: 'extended', sample: first })
    expect([contact.status, desk.status, extension.status]).toEqual([403, 403, 403])
    expect((await recordAs(server, server.contact, { event: 'a/1' }, '/api/record/assign')).status).toBe(403)
    expect(await readEvents(first)).toEqual([])
  })

  test('refuses a request without a session, or from a page of another site', async () => {
    const headers = { 'content-type': 'application/x-www-form-urlencoded' }
    const body = `token=token-of-another-site&kind=collected&sample=${first}`
    const post = (more: Record<string, string>) =>
      fetch(`${server.address}/api/record`, { method: 'POST', headers: { ...headers, ...more }, body })
    expect((await post({})).status).toBe(401)
    const { cookie } = server.contact
    expect((await post({ cookie, 'sec-fetch-site': 'cross-site' })).status).toBe(403)
    // The web server itself refuses a request that names another host.
    expect([403, 421]).toContain((await post({ cookie, origin: 'https://elsewhere.example' })).status)
    expect(await readEvents(first)).toEqual([])
  })

  test('records once when the same form is sent several times at once', async () => {
    const body = { token: 'one-token-of-one-form', kind: 'collected', sample: second }
    const answers = await Promise.all([1, 2, 3, 4].map(() => recordAs(server, server.contact, body)))
    expect(answers.map(({ answer }) => answer.result).sort()).toEqual([
      'already known',
      'already known',
      'already known',
      'recorded',
    ])
    expect(await readEvents(second)).toHaveLength(1)
    expect(await readEvents(second)).toMatchObject([
      { source: `hand ${server.contact.personId}`, reported_by: `person ${server.contact.personId}` },
    ])
  })

  test('is in the audit log with the person', async () => {
    const { rows } = await server.database.owner.query(
      `select who, what, subject, after ->> 'kind' as kind from audit_entry
       where subject = $1 and what like '%by hand'`,
      [second],
    )
    expect(rows).toEqual([
      {
        who: `person ${server.contact.personId}`,
        what: 'recorded by hand',
        subject: second,
        kind: 'collected',
      },
    ])
  })

  test('records for all ticked samples or for none', async () => {
    const body = { kind: 'dispatched', service: 'road', waybill: 'W 77' }
    await recordAs(server, server.contact, { ...body, sample: third })
    const some = await recordAs(server, server.contact, { ...body, sample: [third, fourth] })
    expect(some.status).toBe(422)
    expect(await readEvents(fourth)).toEqual([])
  })

  test('asks for the product of a spare kit', async () => {
    const without = await recordAs(server, server.contact, { kind: 'collected', sample: SPARE })
    expect(without).toMatchObject({ status: 422, answer: { errors: [{ pointer: '/product' }] } })
    const within = await recordAs(server, server.contact, {
      kind: 'collected',
      product: 'FELT',
      sample: SPARE,
    })
    expect(within.status).toBe(200)
  })
})

describe('withdrawing by hand', () => {
  test('needs the right to report the same kind', async () => {
    await recordAs(server, server.desk, { kind: 'received', sample: second, 'condition.seal': 'broken' })
    const received = (await readEvents(second)).find(({ kind }) => kind === 'received')
    const event = `${received?.source}/${received?.id}`
    const undo = { sample: second, event }
    expect((await recordAs(server, server.contact, undo, '/api/record/undo')).status).toBe(403)
    const change = { kind: 'received', sample: second, corrects: event }
    expect((await recordAs(server, server.contact, change)).status).toBe(403)
    expect((await recordAs(server, server.contact, { ...change, kind: 'collected' })).status).toBe(404)
    expect((await recordAs(server, server.desk, undo, '/api/record/undo')).status).toBe(200)
    expect((await recordAs(server, server.desk, undo, '/api/record/undo')).status).toBe(422)
    expect((await readEvents(second)).map(({ kind, corrects }) => [kind, corrects])).toEqual([
      ['collected', null],
      ['received', null],
      ['withdrawn', event],
    ])
  })

  test('does not work through the events API either', async () => {
    await recordAs(server, server.desk, { kind: 'received', sample: third })
    const received = (await readEvents(third)).find(({ kind }) => kind === 'received')
    const intake = (event: Record<string, unknown>) =>
      fetch(`${server.address}/api/events`, {
        method: 'POST',
        headers: { ...server.contact.headers, 'content-type': 'application/json' },
        body: JSON.stringify({
          source: `hand ${server.contact.personId}`,
          sample: third,
          at: new Date(),
          ...event,
        }),
      })
    expect((await intake({ id: '1', kind: 'received' })).status).toBe(422)
    await intake({ id: '2', kind: 'withdrawn', corrects: `${received?.source}/${received?.id}` })
    const page = await fetch(`${server.address}/samples/${third}`, { headers: server.administrator.headers })
    expect(await page.text()).not.toContain('withdrawn or corrected by')
  })
})
