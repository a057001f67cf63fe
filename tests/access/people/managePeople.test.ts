import { beforeEach, describe, expect, test } from 'vitest'
import { addPerson, applyPeopleList, changePerson, previewPeopleList } from '@/lib/access/people/managePeople'
import type { PersonRow } from '@/lib/access/people/planPeople'
import { english } from '@/lib/messages/english'
import { message } from '@/lib/messages/message'
import { NO_ROLES, type Roles } from '@/lib/policy/personRoles'
import { ensurePerson } from '@/lib/store/people/people'
import { makeTestDatabase, type TestDatabase } from '../../setup/database'
import { ADMINISTRATOR, signInAs } from '../../setup/signIn'

const NOW = Date.UTC(2026, 10, 10, 12)
const ACTOR = { who: 'person 1', name: 'Someone', address: '192.0.2.7' }
const READER = { ...NO_ROLES, isReader: true }

let database: TestDatabase
let people = 0
beforeEach(async () => {
  database ??= await makeTestDatabase()
})

const list = (...written: Omit<PersonRow, 'line' | 'zoneIfNew'>[]) => ({
  people: written.map((one, index) => ({ ...one, line: index + 2, zoneIfNew: 'UTC' })),
  faults: [],
  unknownLine: null,
})
const newcomer = (roles: Roles = READER) => ({ email: `p${people++}@list.example`, name: 'A person', roles })

async function shown(written: ReturnType<typeof list>) {
  return (await previewPeopleList(database.authPool, written)).digest
}
const enter = (written: ReturnType<typeof list>, digest: string) =>
  applyPeopleList(database.authPool, written, digest, ACTOR, NOW)

async function of(email: string) {
  const { rows } = await database.owner.query(
    `select id, name, left_at is not null as "hasLeft", xmin::text as transaction,
       (select array_agg(role || ' ' || place order by role, place) from person_role where person_id = person.id) as roles,
       (select array_agg(what order by seq) from audit_entry where subject = person.id) as lines,
       (select array_agg(distinct xmin::text) from audit_entry where subject = person.id and who = 'person 1') as recorded,
       (select count(*)::int from session where person_id = person.id) as sessions
     from person where email = $1`,
    [email],
  )
  return rows[0] ?? null
}

describe('a list of people', () => {
  test('changes nothing in a preview', async () => {
    const one = newcomer()
    await previewPeopleList(database.authPool, list(one))
    expect(await of(one.email)).toBe(null)
  })

  test('adds and changes people with an audit line each, in one transaction', async () => {
    const { email, personId } = await signInAs(database, ADMINISTRATOR)
    await signInAs(database, ADMINISTRATOR)
    const one = newcomer({ ...NO_ROLES, plants: ['PL1', 'PL2'] })
    const written = list(one, { email, roles: READER, hasLeft: true })
    const done = await enter(written, await shown(written))
    expect([done?.added.length, done?.changed.length]).toEqual([1, 1])
    const [added, changed] = [await of(one.email), await of(email)]
    expect(added).toMatchObject({
      roles: ['plant contact PL1', 'plant contact PL2'],
      lines: ['added a person'],
    })
    expect(changed).toMatchObject({ id: personId, roles: ['reader '], hasLeft: true, sessions: 0 })
    expect(changed.lines.slice(-2)).toEqual(['let a person go', 'ended a session'])
    expect([added.recorded, changed.recorded]).toEqual([[added.transaction], [added.transaction]])
  })

  test('does nothing if the plan has changed since the preview', async () => {
    const [one, other] = [newcomer(), newcomer()]
    const written = list(one, other)
    const digest = await shown(written)
    const role = { role: 'plant contact' as const, place: 'PL1' }
    await ensurePerson(database.authPool, { email: other.email, name: 'Before', roles: [role] }, ACTOR, NOW)
    expect(await enter(written, digest)).toBe(null)
    expect(await of(one.email)).toBe(null)
    expect(await of(other.email)).toMatchObject({ name: 'Before', roles: ['plant contact PL1'] })
  })

  test('does nothing if one audit line cannot be written', async () => {
    await database.owner.query(`
      create function refuse_line() returns trigger language plpgsql as $$
        begin raise exception 'the record takes no line'; end $$;
      create trigger refused before insert on audit_entry for each row
        when (new.after ->> 'name' = 'Unrecordable') execute function refuse_line()`)
    const [one, other] = [newcomer(), { ...newcomer(), name: 'Unrecordable' }]
    const written = list(one, other)
    await expect(enter(written, await shown(written))).rejects.toThrow('takes no line')
    expect(await of(one.email)).toBe(null)
  })

  test('of two that would each remove the other administrator, one is applied', async () => {
    await database.owner.query("delete from person_role where role = 'administrator'")
    const [a, b] = [await signInAs(database, ADMINISTRATOR), await signInAs(database, ADMINISTRATOR)]
    const lists = [list({ email: a.email, roles: READER }), list({ email: b.email, roles: READER })]
    const digests = await Promise.all(lists.map(shown))
    const done = await Promise.all(lists.map((one, index) => enter(one, digests[index] ?? '')))
    expect(done.filter((one) => one !== null)).toHaveLength(1)
    const { rowCount } = await database.owner.query("select from person_role where role = 'administrator'")
    expect(rowCount).toBe(1)
  })
})

describe('one person', () => {
  const entry = (roles: Roles = READER) => ({ ...newcomer(roles), zone: 'UTC' })
  const add = (one: ReturnType<typeof entry>) => addPerson(database.authPool, one, ACTOR, NOW)
  const change = (id: string, one: ReturnType<typeof entry>, hasLeft = false) =>
    changePerson(database.authPool, id, { ...one, hasLeft }, ACTOR, NOW)
  const added = async (one: ReturnType<typeof entry>) => {
    const done = await add(one)
    if ('problem' in done) throw new Error(english.message(done.problem))
    return done.id
  }

  test('is added once, with one audit line, by concurrent requests', async () => {
    const one = entry()
    const done = await Promise.all([add(one), add(one), add(one)])
    expect(done.filter((each) => 'id' in each)).toHaveLength(1)
    expect(await of(one.email)).toMatchObject({ roles: ['reader '], lines: ['added a person'] })
  })

  test('is changed with an audit line; another’s address or an unknown person is refused', async () => {
    const [one, other] = [entry(), entry()]
    const [id] = [await added(one), await added(other)]
    expect(await change(id, { ...one, name: 'New', roles: { ...NO_ROLES, laboratories: ['L'] } })).toEqual({
      id,
    })
    expect(await of(one.email)).toMatchObject({ name: 'New', roles: ['laboratory desk L'] })
    expect(await change(id, other)).toHaveProperty(
      'problem',
      message('people.fault.taken', { email: other.email }),
    )
    expect(await change('nobody', one)).toHaveProperty('problem')
    expect(await of(one.email)).toMatchObject({ lines: ['added a person', 'changed a person'] })
  })

  test('keeps the time of leaving until readmitted', async () => {
    const one = entry()
    const id = await added(one)
    const leftAt = async () => {
      const { rows } = await database.owner.query('select left_at from person where id = $1', [id])
      return rows[0]?.left_at?.getTime() ?? null
    }
    await change(id, one, true)
    await changePerson(database.authPool, id, { ...one, name: 'New', hasLeft: true }, ACTOR, NOW + 9)
    expect(await leftAt()).toBe(NOW)
    await change(id, one)
    expect(await leftAt()).toBe(null)
  })

  test('the last administrator cannot be removed, even by concurrent changes', async () => {
    await database.owner.query("delete from person_role where role = 'administrator'")
    const all = [entry({ ...NO_ROLES, isAdministrator: true }), entry({ ...NO_ROLES, isAdministrator: true })]
    const ids = [await added(all[0] as (typeof all)[0]), await added(all[1] as (typeof all)[0])]
    const done = await Promise.all(
      all.map((one, index) => change(ids[index] ?? '', { ...one, roles: READER })),
    )
    expect(done.filter((each) => 'problem' in each)).toHaveLength(1)
    const { rows } = await database.owner.query(
      "select person_id as id from person_role where role = 'administrator'",
    )
    expect(rows).toHaveLength(1)
    const last = all[ids.indexOf(rows[0].id)] as (typeof all)[0]
    expect(await change(rows[0].id, last, true)).toHaveProperty('problem')
  })
})
