import { beforeEach, describe, expect, test } from 'vitest'
import type { KeyRights } from '@/lib/policy/keyRights'
import { findKeyBySecret, makeKey, revokeKey } from '@/lib/store/people/keys'
import { COMMAND } from '@/lib/store/scope/audit'
import { ALL_RIGHTS } from '../../setup/apiKey'
import { makeTestDatabase, type TestDatabase } from '../../setup/database'

const NOW = Date.parse('2026-10-20T12:00:00Z')
let database: TestDatabase
beforeEach(async () => {
  database = await makeTestDatabase()
})

const make = (plant: string, source: string, more: Partial<KeyRights> = {}) =>
  makeKey(
    database.authPool,
    {
      ...ALL_RIGHTS,
      name: `key of ${plant}`,
      sources: [source],
      sides: ['plant'],
      plants: [plant],
      maySetRegister: false,
      ...more,
    },
    COMMAND,
    NOW,
  )

async function makeSecret(...given: Parameters<typeof make>) {
  const made = await make(...given)
  if (made.fault) throw new Error(JSON.stringify(made.fault))
  return made
}

describe('a key for a source', () => {
  test('of which another plant’s key speaks is not made, and the audit log has no line of it', async () => {
    await makeSecret('PL1', 'mes')
    expect((await make('PL2', 'mes')).fault).toMatchObject({ field: 'sources' })
    expect((await make('PL1', 'mes')).fault).toBeNull()
    expect((await make('PL2', 'mes 2')).fault).toBeNull()
    const { rows } = await database.owner.query(
      "select count(*)::int from audit_entry where what = 'made a key'",
    )
    expect(rows).toEqual([{ count: 3 }])
  })

  test('of which an expired or revoked key of another plant was used is not made; of an unused one it is', async () => {
    const { id, secret } = await makeSecret('PL1', 'mes')
    await findKeyBySecret(database.authPool, secret, NOW)
    await revokeKey(database.authPool, id, COMMAND, NOW)
    expect((await make('PL2', 'mes')).fault).toMatchObject({ field: 'sources' })

    await makeSecret('PL1', 'scale', { expiresAt: NOW })
    expect((await make('PL2', 'scale')).fault).toBeNull()
    const expired = await makeSecret('PL1', 'oven', { expiresAt: NOW })
    await findKeyBySecret(database.authPool, expired.secret, NOW - 1)
    expect((await make('PL2', 'oven')).fault).toMatchObject({ field: 'sources' })
  })

  test('goes to one of many plants that ask for it at the same time', async () => {
    const plants = Array.from({ length: 12 }, (_, n) => `PL${n}`)
    const made = await Promise.all(plants.map((plant) => make(plant, 'mes')))
    expect(made.filter(({ fault }) => fault === null)).toHaveLength(1)
    const { rows } = await database.owner.query('select count(*)::int from api_key')
    expect(rows).toEqual([{ count: 1 }])
  })
})
