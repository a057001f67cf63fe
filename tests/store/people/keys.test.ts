import { createHash } from 'node:crypto'
import { beforeAll, describe, expect, test } from 'vitest'
import { findRightsFault, type KeyRights } from '@/lib/policy/keyRights'
import { findKeyBySecret, findSigningKey, listKeys, makeKey, revokeKey } from '@/lib/store/people/keys'
import { COMMAND } from '@/lib/store/scope/audit'
import { ALL_RIGHTS } from '../../setup/apiKey'
import { makeTestDatabase, type TestDatabase } from '../../setup/database'

const NOW = Date.parse('2026-10-20T12:00:00Z')
const ACTOR = { who: 'person 7', name: 'Someone', address: '192.0.2.7' }
const PLANT = { sides: ['plant' as const], plants: ['PL1'], maySetRegister: false }
const LABORATORY = { sides: ['laboratory' as const], laboratories: ['LAB'], maySetRegister: false }
let database: TestDatabase
beforeAll(async () => {
  database = await makeTestDatabase()
})

const tryMake = (rights: Partial<KeyRights> = {}) =>
  makeKey(database.authPool, { ...ALL_RIGHTS, ...rights }, ACTOR, NOW)

async function make(rights: Partial<KeyRights> = {}) {
  const made = await tryMake(rights)
  if (made.fault) throw new Error(JSON.stringify(made.fault))
  return made
}

describe('the secret of a key', () => {
  test('grants the rights it was made with', async () => {
    const rights = {
      name: 'dock scanner',
      sources: ['north dock'],
      sides: ['plant' as const],
      kinds: ['dispatched'],
      plants: ['PL1'],
      laboratories: null,
      mayImportHistory: false,
      maySetRegister: false,
    }
    const { id, secret } = await make(rights)
    expect(secret).toMatch(/^hfk_[\w-]{43}$/)
    expect(await findKeyBySecret(database.authPool, secret, NOW)).toEqual({ kind: 'key', id, ...rights })
  })

  test('is stored nowhere: neither in its table nor in the audit log', async () => {
    const { id, secret } = await make()
    const { rows } = await database.owner.query(
      'select k::text as key, k.hash from api_key k where id = $1',
      [id],
    )
    expect(rows[0].hash).toEqual(createHash('sha256').update(secret).digest())
    const audit = await database.owner.query('select * from audit_entry where subject = $1', [id])
    expect(audit.rows).toMatchObject([
      {
        who: 'person 7',
        who_name: 'Someone',
        address: '192.0.2.7',
        what: 'made a key',
        outcome: 'done',
      },
    ])
    expect(JSON.stringify([rows[0].key, audit.rows])).not.toContain(secret.slice(4, 20))
  })

  test.each(['', 'hfk_', `hfk_${'A'.repeat(43)}`, "' or true --", 'hfk_\u0000'])(
    'is not: %j',
    async (secret) => expect(await findKeyBySecret(database.authPool, secret, NOW)).toBeNull(),
  )

  test('is not its own hash, nor the secret with anything changed', async () => {
    const { secret } = await make()
    for (const other of [
      createHash('sha256').update(secret).digest('hex'),
      secret.toUpperCase(),
      `${secret} `,
      secret.slice(0, -1),
      secret.slice(4),
    ])
      expect(await findKeyBySecret(database.authPool, other, NOW)).toBeNull()
  })

  test('stops working at its expiry', async () => {
    const { secret } = await make({ expiresAt: NOW + 1_000 })
    expect(await findKeyBySecret(database.authPool, secret, NOW + 999)).not.toBeNull()
    expect(await findKeyBySecret(database.authPool, secret, NOW + 1_000)).toBeNull()
  })

  test('stops working when revoked, which is recorded once', async () => {
    const { id, secret } = await make()
    expect(await findKeyBySecret(database.authPool, secret, NOW)).not.toBeNull()
    expect(await revokeKey(database.authPool, id, ACTOR, NOW + 5)).toBe(true)
    expect(await findKeyBySecret(database.authPool, secret, NOW + 5)).toBeNull()
    expect(await revokeKey(database.authPool, id, COMMAND, NOW + 6)).toBe(false)
    expect(await revokeKey(database.authPool, 'no such key', COMMAND, NOW + 6)).toBe(false)
    const { rows } = await database.owner.query(
      "select who, subject from audit_entry where what = 'revoked a key'",
    )
    expect(rows).toEqual([{ who: 'person 7', subject: id }])
  })

  test('grants nothing by itself if the key has to sign', async () => {
    const { secret } = await make({ mustSign: true })
    expect(await findKeyBySecret(database.authPool, secret, NOW)).toBeNull()
  })

  test('is not replaced by its hash, which backups hold: only a key that has to sign may sign', async () => {
    const { id } = await make()
    expect(await findSigningKey(database.authPool, id, NOW)).toBeNull()
    const signing = await make({ mustSign: true })
    expect(await findSigningKey(database.authPool, signing.id, NOW)).toMatchObject({
      key: { id: signing.id },
    })
  })

  test('records its use at most once a minute', async () => {
    const { id, secret } = await make()
    const lastUse = async () => (await listKeys(database.authPool)).find((key) => key.id === id)?.lastUsedAt
    expect(await lastUse()).toBeNull()
    const seen = []
    for (const after of [0, 59_000, 60_000, 61_000]) {
      await findKeyBySecret(database.authPool, secret, NOW + after)
      seen.push(((await lastUse()) as number) - NOW)
    }
    expect(seen).toEqual([0, 0, 60_000, 60_000])
  })
})

describe('a list of a key', () => {
  test('grants nothing if empty, and everything if absent', async () => {
    const { id, secret } = await make()
    await database.owner.query("update api_key set kinds = '{}', plants = '{}' where id = $1", [id])
    expect(await findKeyBySecret(database.authPool, secret, NOW)).toMatchObject({
      kinds: [],
      plants: [],
      laboratories: null,
    })
  })
})

describe('rights that contradict each other', () => {
  test.each([
    ['name', { name: '  ' }],
    ['sources', { sources: [] }],
    ['sources', { sources: ['north/dock'] }],
    ['sources', { sources: [' dock'] }],
    ['sources', { sources: ['hand 7'] }],
    ['sources', { sources: ['Hand\u00a07'] }],
    ['sources', { sources: ['hand'] }],
    ['maySetRegister', { ...PLANT, maySetRegister: true }],
    ['maySetRegister', { ...LABORATORY, maySetRegister: true }],
    ['maySetRegister', { sides: ['carrier'] }],
    ['sides', { sides: [] }],
    ['sides', { sides: ['plant', 'laboratory'], plants: ['PL1'], laboratories: ['LAB'] }],
    ['sides', { sides: ['programme', 'carrier'] }],
    ['sides', { ...PLANT, laboratories: ['LAB'] }],
    ['sides', { ...LABORATORY, plants: ['PL1'] }],
    ['plants', { ...PLANT, plants: null }],
    ['plants', { ...PLANT, plants: [] }],
    ['laboratories', { ...LABORATORY, laboratories: null }],
    ['laboratories', { ...LABORATORY, laboratories: [] }],
    ['laboratories', { ...PLANT, laboratories: [] }],
    ['plants', { ...LABORATORY, plants: [] }],
    ['plants', { sides: ['carrier'], plants: ['PL1'], maySetRegister: false }],
    ['laboratories', { sides: ['carrier'], laboratories: ['LAB'], maySetRegister: false }],
    ['plants', { plants: ['PL1'], maySetRegister: false }],
    ['laboratories', { laboratories: ['LAB'], maySetRegister: false }],
    ['plants', { plants: [], maySetRegister: false }],
  ] satisfies [string, Partial<KeyRights>][])('in %s are refused: %j', async (field, rights) => {
    expect(findRightsFault({ ...ALL_RIGHTS, ...rights })?.field).toBe(field)
    expect((await tryMake(rights)).fault?.field).toBe(field)
  })

  test.each([
    PLANT,
    { ...PLANT, plants: ['PL1', 'PL2'] },
    LABORATORY,
    { sides: ['carrier'], maySetRegister: false },
    { sides: ['programme'] },
  ] satisfies Partial<KeyRights>[])('are not: %j', (rights) => {
    expect(findRightsFault({ ...ALL_RIGHTS, ...rights })).toBeNull()
  })

  test('do not include a machine whose name begins similarly', () => {
    expect(findRightsFault({ ...ALL_RIGHTS, sources: ['handheld 3', 'second hand'] })).toBeNull()
  })
})
