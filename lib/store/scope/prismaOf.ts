import { PrismaPg } from '@prisma/adapter-pg'
import type pg from 'pg'
import { PrismaClient } from '../prisma/client'

const clients = new WeakMap<pg.Pool, PrismaClient>()

/**
 * Prisma's client on the connections of a pool, so that it works in UTC and as the pool's role. For what is asked
 * seldom; what is hot, or belongs to a transaction of the store's own, is plain SQL.
 */
export function prismaOf(pool: pg.Pool): PrismaClient {
  const known = clients.get(pool)
  if (known) return known
  const client = new PrismaClient({ adapter: new PrismaPg(pool) })
  clients.set(pool, client)
  return client
}
