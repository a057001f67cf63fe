import type pg from 'pg'
import { prismaOf } from './prismaOf'

const DEMO = 'demo'

/** Whether the database holds the demo programme: invented plants, invented data. */
export async function isDemo(pool: pg.Pool): Promise<boolean> {
  return (await prismaOf(pool).mark.findUnique({ where: { name: DEMO } })) !== null
}

/** Marks the database as the demo programme's, made at `now` (ms UTC). */
export async function markDemo(pool: pg.Pool, now: number): Promise<void> {
  const mark = { name: DEMO, value: now }
  await prismaOf(pool).mark.upsert({ where: { name: DEMO }, create: mark, update: mark })
}
