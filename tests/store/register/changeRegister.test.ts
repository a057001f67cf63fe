import { beforeAll, describe, expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { message } from '@/lib/messages/message'
import { readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import {
  applyRegister,
  changeRegister,
  previewChange,
  type RegisterEdit,
} from '@/lib/store/register/changeRegister'
import { deleteDraft, findDraft, saveDraft } from '@/lib/store/register/setupDraft'
import type { Actor } from '@/lib/store/scope/audit'
import { checkedRegister, KIT, smallRegister, wire } from '../../cases/smallProgramme'
import { makeTestDatabase, type TestDatabase } from '../../setup/database'

const NOW = Date.parse('2026-10-20T12:00:00Z')
const DAY = 86_400_000
const actor: Actor = { who: 'person 1', name: 'Someone', address: '192.0.2.1' }
const options = { holdsFromAt: null, actor, now: NOW }
let database: TestDatabase

beforeAll(async () => {
  database = await makeTestDatabase()
  const working = [
    {
      code: 'TEN',
      name: 'Three',
      limits: [{ name: 'cut to dock', from: 'collected', to: 'received', amount: 3, unit: 'working days' }],
    },
  ]
  await applyRegister(database.app, checkedRegister({ protocols: working }), NOW - 30 * DAY)
  await acceptEvents(
    database.app,
    wire({ source: 'desk', id: 'cut', sample: KIT, kind: 'collected', at: '2026-10-20T11:00:00Z' }),
    UNRESTRICTED,
    NOW,
  )
})

const rows = async <T>(sql: string) => (await database.owner.query(sql)).rows as T[]
const ledger = async () =>
  (await rows<{ n: number }>('select count(*)::int as n from register_entry'))[0]?.n as number
const laboratory = (closed: string[]): RegisterEdit => ({
  list: 'laboratories',
  code: 'LAB',
  content: { ...(smallRegister().laboratories as Record<string, unknown>[])[0], closed },
})

describe('a change of single entries', () => {
  test('is previewed without a trace, and shows what it would change', async () => {
    const before = await ledger()
    const { effect } = await previewChange(database.app, [laboratory(['2026-10-21'])], options)
    expect(effect?.changes.map(({ kind, code }) => `${kind} ${code}`)).toEqual(['laboratory LAB'])
    // Open Monday to Thursday: three days after Tuesday 20 are 21, 22 and 26; with the 21st closed, 22, 26, 27.
    expect(effect?.sampleChanges).toEqual([
      {
        code: KIT,
        plant: 'PL1',
        laboratory: 'LAB',
        before: 'sound',
        after: 'sound',
        dues: [
          {
            limit: 'cut to dock',
            zoneOwner: 'laboratory',
            beforeAt: Date.parse('2026-10-27T03:59:59.999Z'),
            afterAt: Date.parse('2026-10-28T03:59:59.999Z'),
          },
        ],
      },
    ])
    expect(await ledger()).toBe(before)
    expect(await rows('select due_at from sample where due_at is not null')).toEqual([
      { due_at: new Date('2026-10-27T03:59:59.999Z') },
    ])
    expect(await rows('select * from audit_entry where who <> $$command$$')).toEqual([])
  })

  test('is made only as shown, and audited with the previous content', async () => {
    const shown = await previewChange(database.app, [laboratory(['2026-10-21'])], options)
    const confirmed = shown.effect?.digest as string
    const other = await changeRegister(database.app, [laboratory(['2026-10-22'])], { ...options, confirmed })
    expect(other).toMatchObject({ isDone: false })
    const made = await changeRegister(database.app, [laboratory(['2026-10-21'])], { ...options, confirmed })
    expect(made).toMatchObject({ isDone: true, effect: { digest: confirmed } })
    expect(await rows('select due_at from sample where due_at is not null')).toEqual([
      { due_at: new Date('2026-10-28T03:59:59.999Z') },
    ])
    expect(
      await rows(
        `select who, who_name, address, what, subject, before -> 'closed' as before, after -> 'closed' as after
         from audit_entry where who <> 'command'`,
      ),
    ).toEqual([
      {
        who: 'person 1',
        who_name: 'Someone',
        address: '192.0.2.1',
        what: 'changed a laboratory',
        subject: 'LAB',
        before: [],
        after: ['2026-10-21'],
      },
    ])
  })

  test('can hold from a later time, never from an earlier one, and not before a future version', async () => {
    const edit: RegisterEdit = {
      list: 'plants',
      code: 'PL2',
      content: { code: 'PL2', name: 'Renamed', zone: 'Asia/Kolkata' },
    }
    const past = await previewChange(database.app, [edit], { ...options, holdsFromAt: NOW - 1 })
    expect(past.problems[0]?.detail).toEqual(message('register.pastChange'))
    const later = { ...options, holdsFromAt: NOW + DAY }
    expect(await changeRegister(database.app, [edit], later)).toMatchObject({ isDone: true })
    const again = { ...edit, content: { ...edit.content, name: 'Again' } }
    const early = await previewChange(database.app, [again], options)
    expect(early.problems[0]?.detail).toMatchObject({
      key: 'register.laterVersion',
      values: { from: '2026-10-21T12:00:00.000Z' },
    })
    expect(await changeRegister(database.app, [again], later)).toMatchObject({ isDone: true })
  })

  test('of a zone cannot hold later, since a zone holds at once for all times read in it', async () => {
    const before = await ledger()
    const content = { ...laboratory(['2026-10-21']).content, zone: 'America/Chicago' }
    const moved: RegisterEdit = { list: 'laboratories', code: 'LAB', content }
    const later = await changeRegister(database.app, [moved], { ...options, holdsFromAt: NOW + DAY })
    expect(later.problems).toEqual([
      {
        list: 'laboratories',
        code: 'LAB',
        pointer: '/zone',
        detail: message('register.zoneAhead', {
          code: 'LAB',
          before: 'America/New_York',
          after: 'America/Chicago',
          from: '2026-10-21T12:00:00.000Z',
        }),
      },
    ])
    expect(await ledger()).toBe(before)
    expect((await previewChange(database.app, [moved], options)).effect?.changes).toHaveLength(1)
  })

  test('is refused with its entry and field if the register would be invalid', async () => {
    const before = await ledger()
    const content = { code: 'NEW', plant: 'NOWHERE', name: 'New', protocol: 'TEN' }
    const { problems } = await changeRegister(
      database.app,
      [
        { list: 'products', code: 'NEW', content, isNew: true },
        { list: 'plants', code: 'PL1', content: { code: 'PL1', name: 'x', zone: 'UTC' }, isNew: true },
        { list: 'services', code: 'sea', content: null },
        { list: 'protocols', code: 'TEN', content: null },
      ],
      options,
    )
    expect(problems).toEqual(
      expect.arrayContaining([
        {
          list: 'products',
          code: 'NEW',
          pointer: '/plant',
          detail: message('register.unknownPlant', { code: 'NOWHERE' }),
        },
        expect.objectContaining({ list: 'plants', code: 'PL1', pointer: '/code' }),
        expect.objectContaining({ list: 'services', code: 'sea' }),
        expect.objectContaining({ list: 'products', code: 'FELT', pointer: '/protocol' }),
      ]),
    )
    expect(await ledger()).toBe(before)
  })

  test('does not remove what events need', async () => {
    const { problems } = await changeRegister(
      database.app,
      [{ list: 'kits', code: KIT, content: null }],
      options,
    )
    expect(problems[0]?.detail).toEqual(message('register.kitHasEvents', { code: KIT }))
  })

  test('leaves a register that changes nothing when sent again', async () => {
    const document = JSON.parse(JSON.stringify(await readRegisterDocument(database.app)))
    const { change } = await applyRegister(database.app, checkedRegister(document), NOW + 2 * DAY)
    expect(change).toMatchObject({ added: 0, changed: 0, removed: 0 })
  })
})

test('a draft is visible to its author only, and is deleted after a day', async () => {
  const id = await saveDraft(database.app, actor, { a: 1 }, NOW)
  expect(await findDraft(database.app, actor, id)).toEqual({ a: 1 })
  expect(await findDraft(database.app, { ...actor, who: 'person 2' }, id)).toBeNull()
  await saveDraft(database.app, actor, { b: 1 }, NOW + 2 * DAY)
  expect(await findDraft(database.app, actor, id)).toBeNull()
  const next = await saveDraft(database.app, actor, { c: 1 }, NOW)
  await deleteDraft(database.app, actor, next)
  expect(await findDraft(database.app, actor, next)).toBeNull()
})
