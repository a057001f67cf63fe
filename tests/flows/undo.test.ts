import { beforeAll, expect, test } from 'vitest'
import { FOREIGN_WORDS, KITS } from '@/tests/access/twoMakers'
import { type AttackedProgramme, startAttacked } from './attackedProgramme'
import { recordAs } from './byHandProgramme'

let programme: AttackedProgramme
beforeAll(async () => {
  programme = await startAttacked()
})

const OWN = KITS['PL1 LAB2']

test.each([
  ['a sample', `${FOREIGN_WORDS.source}/PL2 LAB cut`],
  ['a consignment', 'carrier/seen'],
])('undoing an event that corrects one of %s of another maker reports nothing of it', async (_, corrects) => {
  const { database, server, rival } = programme
  const { rows: people } = await database.owner.query('select id from person where email = $1', [rival.email])
  const source = `hand ${people[0].id}`
  const id = `rival ${corrects.length}`
  const at = new Date(Date.now() - 3_600_000).toISOString()
  const sent = await fetch(`${server.address}/api/events`, {
    method: 'POST',
    headers: { ...rival.headers, 'content-type': 'application/json' },
    body: JSON.stringify({ source, id, sample: OWN, kind: 'form copy', at, corrects }),
  })
  expect(await sent.json()).toMatchObject({ accepted: 1 })
  const undo = { sample: OWN, event: `${source}/${id}`, restore: 'yes' }
  expect((await recordAs(server, rival, undo, '/api/record/undo')).status).toBe(200)
  const { rows: said } = await database.owner.query(
    'select kind, sample, waybill, lot, facts from event where source = $1 and corrects = $2',
    [source, `${source}/${id}`],
  )
  expect(said).toEqual([{ kind: 'withdrawn', sample: OWN, waybill: null, lot: null, facts: null }])
})

test('undoing an assignment lets the box wait again, with what was found on it', async () => {
  const { database, server, administrator } = programme
  const box = { 'box.box1.written': 'half torn', 'condition.box1.packaging': 'wet' }
  const received = { kind: 'received', laboratory: 'LAB', box: ['box1'], ...box }
  const first = await recordAs(server, administrator, received)
  const [kept] = first.answer.events as string[]
  const assigned = { event: kept, kit: KITS['PL1 LAB'], reason: 'its label lay beside it' }
  const second = await recordAs(server, administrator, assigned, '/api/record/assign')
  const [event] = second.answer.events as string[]
  const undo = { sample: KITS['PL1 LAB'], event, restore: 'yes' }
  expect((await recordAs(server, administrator, undo, '/api/record/undo')).status).toBe(200)
  const { rows } = await database.owner.query(
    `select e.sample, e.kind, e.facts ->> 'writtenOnBox' as written, e.facts -> 'condition' as condition
     from event e join unplaced u on u.event_seq = e.seq where e.corrects = $1`,
    [event],
  )
  expect(rows).toEqual([
    { sample: null, kind: 'received', written: 'half torn', condition: { packaging: 'wet' } },
  ])
  const { rows: left } = await database.owner.query('select is_unruled from sample where code = $1', [
    KITS['PL1 LAB'],
  ])
  expect(left).toEqual([{ is_unruled: false }])
})
