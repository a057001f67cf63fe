import { beforeAll, expect, test } from 'vitest'
import { ownerPool } from '@/lib/store/scope/pool'
import { prismaOf } from '@/lib/store/scope/prismaOf'
import { freshDatabase, type TestDatabase } from '../../setup/database'

let database: TestDatabase
beforeAll(async () => {
  database = await freshDatabase()
})

test('Prisma writes and reads the same instant as PostgreSQL, on a database whose own zone is New York', async () => {
  await database.owner.query(`alter database ${database.name} set timezone to 'America/New_York'`)
  const pool = ownerPool(database.url, { max: 1 })
  try {
    const holdsFromAt = new Date('2026-11-01T10:00:00Z')
    await prismaOf(pool).registerEntry.create({
      data: { kind: 'service', code: 'road', content: {}, holdsFromAt },
    })
    const { rows } = await pool.query<{ seconds: number }>(
      'select extract(epoch from holds_from_at)::float8 as seconds from register_entry',
    )
    expect(rows).toEqual([{ seconds: holdsFromAt.getTime() / 1000 }])
    expect((await prismaOf(pool).registerEntry.findFirstOrThrow()).holdsFromAt).toEqual(holdsFromAt)
  } finally {
    await pool.end()
  }
})
