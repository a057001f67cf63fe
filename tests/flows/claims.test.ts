import { beforeAll, describe, expect, test } from 'vitest'
import { makeTestKey } from '@/tests/setup/apiKey'
import { type SignedIn, signInAs } from '@/tests/setup/signIn'
import { ABSENT, FOREIGN, type HandProgramme, OWN, recordAs, startHandProgramme } from './byHandProgramme'

let server: HandProgramme
let rival: SignedIn
beforeAll(async () => {
  server = await startHandProgramme()
  rival = await signInAs(server.database, { plants: ['PL2'] })
})

const [first, second, third] = OWN as [string, string, string]
const day = new Date().toISOString().slice(0, 10)
const dispatch = (sample: string, waybill: string) => ({
  kind: 'dispatched',
  sample,
  service: 'ground',
  waybill,
  date: day,
  time: '00:05',
})

const openPage = async (person: SignedIn, path: string) => {
  const answer = await fetch(server.address + path, { headers: person.headers })
  return { status: answer.status, text: await answer.text() }
}

async function report(secret: string, event: Record<string, unknown>) {
  const answer = await fetch(`${server.address}/api/events`, {
    method: 'POST',
    headers: { authorization: `Bearer ${secret}`, 'content-type': 'application/json' },
    body: JSON.stringify({ at: `${day}T00:10:00Z`, ...event }),
  })
  const { items } = (await answer.json()) as { items: { result: string }[] }
  return items[0]?.result
}

const readMilestones = async (code: string) => {
  const { rows } = await server.database.owner.query<{ milestones: { milestone: string }[] }>(
    'select milestones from sample where code = $1',
    [code],
  )
  return rows[0]?.milestones.map(({ milestone }) => milestone)
}

describe('a waybill that another maker names', () => {
  test('shows it nothing, until an administrator confirms that both travel under it', async () => {
    const carrier = await makeTestKey(server.database, {
      sources: ['tracking'],
      sides: ['carrier'],
      kinds: null,
      mayImportHistory: false,
      maySetRegister: false,
    })
    expect((await recordAs(server, server.contact, dispatch(first, 'WB 77'))).status).toBe(200)
    const consignment = { source: 'tracking', service: 'ground', waybill: 'wb-77' }
    expect(await report(carrier, { ...consignment, id: '1', kind: 'scanned' })).toBe('accepted')
    expect(await report(carrier, { ...consignment, id: '2', kind: 'delivered' })).toBe('accepted')

    expect((await recordAs(server, rival, dispatch(FOREIGN, 'WB 77'))).status).toBe(200)
    expect(await readMilestones(first)).toEqual(['dispatched', 'delivered'])
    expect(await readMilestones(FOREIGN)).toEqual(['dispatched'])
    const own = await openPage(rival, `/samples/${FOREIGN}`)
    expect(own.status).toBe(200)
    expect(own.text).toContain('WB 77')
    expect(own.text).not.toContain('tracking/')

    const board = await openPage(server.administrator, '/')
    expect(board.text).toContain('1 hand-over names another maker’s waybill.')
    const waiting = await openPage(server.administrator, '/unplaced')
    expect(waiting.text).toContain('Waybills that two makers name')
    const [key] = /hand [^/<"]+\/token-of-the-tests-[^<"]+/.exec(waiting.text) ?? []
    expect(key).toBeDefined()
    const confirm = { event: key, kit: FOREIGN, reason: 'one pallet' }
    expect((await recordAs(server, rival, confirm, '/api/record/assign')).status).toBe(403)
    const done = await recordAs(server, server.administrator, confirm, '/api/record/assign')
    expect(done).toMatchObject({ status: 200, answer: { result: 'recorded' } })
    expect(await readMilestones(FOREIGN)).toEqual(['dispatched', 'delivered'])
    expect(await readMilestones(first)).toEqual(['dispatched', 'delivered'])
    expect((await openPage(server.administrator, '/unplaced')).text).not.toContain(
      'Waybills that two makers name',
    )
  })
})

describe('a contact moves an event', () => {
  test('to another kit of the plant, and to no other', async () => {
    const cut = { kind: 'collected', sample: second, date: day, time: '00:01' }
    const recorded = await recordAs(server, server.contact, cut)
    const [event] = recorded.answer.events as string[]
    const move = (person: SignedIn, kit: string) =>
      recordAs(server, person, { sample: second, event, kit, reason: 'wrong code' }, '/api/record/move')
    const foreign = await move(server.contact, FOREIGN)
    expect(foreign.status).toBe(422)
    expect(foreign).toEqual(await move(server.contact, ABSENT))
    expect((await move(rival, FOREIGN)).status).toBe(404)
    // The desk sees both kits, and a cut is not its to report.
    expect((await move(server.desk, third)).status).toBe(422)
    expect(await readMilestones(second)).toEqual(['collected'])
    expect((await move(server.contact, third)).status).toBe(200)
    expect([await readMilestones(second), await readMilestones(third)]).toEqual([[], ['collected']])
  })
})
