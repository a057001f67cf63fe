import { beforeAll, describe, expect, test } from 'vitest'
import { EVENT_KINDS } from '@/lib/custody/event'
import { KIT, OTHER_KIT, UNKNOWN_KIT } from '@/tests/cases/smallProgramme'
import { makeTestKey } from '@/tests/setup/apiKey'
import { type AnsweredRow, createReport, type KeyProgramme, startKeyProgramme } from './keyProgramme'

let programme: KeyProgramme
beforeAll(async () => {
  programme = await startKeyProgramme()
})

describe('a key that speaks for a source', () => {
  test('may not report under another source, refused at /source; the other items are accepted', async () => {
    const [forged, own] = await programme.rows(
      programme.mine,
      createReport('their dock'),
      createReport('my dock'),
    )
    expect(forged).toMatchObject({ result: 'refused', problem: { status: 422 } })
    expect(forged?.problem?.errors.map(({ pointer }) => pointer)).toEqual(['/source'])
    expect(own?.result).toBe('accepted')
  })

  test('may not speak for a person', async () => {
    const [row] = await programme.rows(programme.all, createReport('hand 1'))
    expect(row?.problem?.errors[0]?.pointer).toBe('/source')
  })

  test('learns nothing of another source’s event by sending its name with other content', async () => {
    const theirs = createReport('their dock', { sample: OTHER_KIT })
    expect((await programme.rows(programme.theirs, theirs))[0]?.result).toBe('accepted')
    const there = (await programme.rows(programme.mine, { ...theirs, lot: 'guess' }))[0] as AnsweredRow
    const nowhere = (
      await programme.rows(programme.mine, { ...theirs, id: 'nowhere', lot: 'guess' })
    )[0] as AnsweredRow
    expect(there).toEqual(nowhere)
    expect(there.problem?.status).toBe(422)
  })

  test('may report only its kinds', async () => {
    const [row, taken] = await programme.rows(
      programme.laboratory,
      createReport('bench', { kind: 'loaded' }),
      createReport('bench', { kind: 'received' }),
    )
    expect(row?.problem?.errors[0]).toMatchObject({
      pointer: '/kind',
      right: expect.stringContaining('received'),
    })
    expect(taken?.result).toBe('accepted')
  })

  test('has its `reportedAt` left out, with a note, unless it may import history', async () => {
    const reportedAt = '2026-10-19T11:00:00Z'
    const mine = createReport('my dock', { reportedAt })
    const all = createReport('programme', { reportedAt })
    expect((await programme.rows(programme.mine, mine))[0]).toMatchObject({
      result: 'accepted',
      note: expect.stringContaining('`reportedAt`'),
    })
    expect((await programme.rows(programme.all, all))[0]?.note).toBeUndefined()
    const { rows: kept } = await programme.database.owner.query(
      'select id, reported_at from event where id = any($1) order by source',
      [[mine.id, all.id]],
    )
    expect(kept).toEqual([
      { id: mine.id, reported_at: null },
      { id: all.id, reported_at: new Date(reportedAt) },
    ])
  })

  test('stands beside what it reported, with what it could speak of then', async () => {
    const mine = createReport('my dock')
    await programme.rows(programme.mine, mine)
    const { rows: kept } = await programme.database.owner.query(
      'select reported_by, reporter_sides, reporter_kinds, reporter_plants, reporter_laboratories from event where id = $1',
      [mine.id],
    )
    expect(kept).toEqual([
      {
        reported_by: expect.stringMatching(/^key /),
        reporter_sides: ['plant'],
        reporter_kinds: EVENT_KINDS,
        reporter_plants: ['PL1'],
        reporter_laboratories: null,
      },
    ])
  })
})

describe('a key of a plant', () => {
  test('is answered of a foreign kit exactly as of one that is nowhere, and does nothing to it', async () => {
    const before = await programme.readStage(OTHER_KIT)
    const one = { kind: 'reported', id: 'same' }
    const [foreign] = await programme.rows(
      programme.mine,
      createReport('my dock', { ...one, id: 'same1', sample: OTHER_KIT }),
    )
    const [unknown] = await programme.rows(
      programme.mine,
      createReport('my dock', { ...one, id: 'same2', sample: UNKNOWN_KIT }),
    )
    expect(foreign?.result).toBe('unplaced')
    expect({ ...foreign, event: '' }).toEqual({ ...unknown, event: '' })
    expect(await programme.readStage(OTHER_KIT)).toBe(before)
  })

  test('cannot take out of the count what another reported of another’s sample', async () => {
    const theirs = createReport('their dock', { sample: OTHER_KIT, kind: 'collected' })
    await programme.rows(programme.theirs, theirs)
    expect(await programme.readStage(OTHER_KIT)).toBe('collected')
    const target = `their dock/${theirs.id}`
    const attempts = [
      createReport('my dock', { kind: 'withdrawn', sample: OTHER_KIT, corrects: target }),
      createReport('my dock', { kind: 'withdrawn', sample: KIT, corrects: target }),
      createReport('my dock', { kind: 'collected', sample: KIT, corrects: target }),
      createReport('my dock', {
        kind: 'withdrawn',
        sample: undefined,
        service: 'road',
        waybill: 'W-5',
        corrects: target,
      }),
    ]
    const answers = await programme.rows(programme.mine, ...attempts)
    const nowhere = await programme.rows(
      programme.mine,
      ...attempts.map((attempt) => ({ ...attempt, id: `${attempt.id} b`, corrects: 'their dock/nowhere' })),
    )
    expect(answers.map(({ result }) => result)).toEqual(nowhere.map(({ result }) => result))
    expect(await programme.readStage(OTHER_KIT)).toBe('collected')
  })

  test('can take out what it reported itself, and what others reported of its own samples', async () => {
    const loaded = createReport('programme', { kind: 'loaded' })
    await programme.rows(programme.all, loaded)
    expect(await programme.readStage(KIT)).toBe('loaded')
    await programme.rows(
      programme.mine,
      createReport('my dock', { kind: 'withdrawn', corrects: `programme/${loaded.id}` }),
    )
    expect(await programme.readStage(KIT)).not.toBe('loaded')
  })

  test('says nothing of a consignment in which only others’ samples travel', async () => {
    const carried = { service: 'road', waybill: 'THEIRS 77' }
    await programme.rows(
      programme.theirs,
      createReport('their dock', { sample: OTHER_KIT, kind: 'dispatched', ...carried }),
    )
    expect(await programme.readStage(OTHER_KIT)).toBe('dispatched')
    const of = (waybill: string) =>
      createReport('my dock', { sample: undefined, kind: 'delivered', service: 'road', waybill })
    const [foreign, unknown] = await programme.rows(programme.mine, of('theirs-77'), of('NOBODY 1'))
    expect(foreign?.result).toBe('unplaced')
    expect(unknown?.result).toBe('unplaced')
    expect(await programme.readStage(OTHER_KIT)).toBe('dispatched')
    await programme.rows(
      programme.all,
      createReport('carrier', { sample: undefined, kind: 'delivered', ...carried }),
    )
    expect(await programme.readStage(OTHER_KIT)).toBe('delivered')
  })

  test('does not learn by a local time whether a code is a plant, nor its zone', async () => {
    const local = (place: string) => createReport('my dock', { at: '2026-10-19T10:00', place })
    const [own, laboratory, foreign, unknown] = await programme.rows(
      programme.mine,
      local('PL1'),
      local('LAB'),
      local('PL2'),
      local('PL9'),
    )
    expect([own?.result, laboratory?.result]).toEqual(['accepted', 'accepted'])
    expect(foreign?.problem?.errors).toEqual(unknown?.problem?.errors)
    expect(foreign?.result).toBe('refused')
  })

  test('may not send the register, nor may any that has no leave to', async () => {
    for (const secret of [programme.mine, programme.laboratory])
      expect((await programme.put(secret)).status).toBe(403)
    const before = await programme.database.owner.query('select max(seq) from register_entry')
    const plain = await makeTestKey(programme.database, { maySetRegister: false })
    expect((await programme.put(plain)).body).toMatchObject({
      type: 'urn:holdfast:problem:not-yours',
      status: 403,
    })
    expect(await programme.database.owner.query('select max(seq) from register_entry')).toMatchObject({
      rows: before.rows,
    })
  })
})

describe('a key of a laboratory', () => {
  test('speaks of the samples bound for it, of whichever plant, and of no others', async () => {
    const [one, other] = await programme.rows(
      programme.laboratory,
      createReport('bench', { kind: 'received' }),
      createReport('bench', { kind: 'received', sample: OTHER_KIT }),
    )
    expect([one?.result, other?.result]).toEqual(['accepted', 'accepted'])
    const elsewhere = await makeTestKey(programme.database, {
      sources: ['other bench'],
      laboratories: ['LAB9'],
      maySetRegister: false,
    })
    const [foreign] = await programme.rows(elsewhere, createReport('other bench', { kind: 'received' }))
    expect(foreign?.result).toBe('unplaced')
  })
})
