import { beforeAll, expect, test } from 'vitest'
import type { Scope } from '@/lib/store'
import { sampleDossier } from '@/lib/store/sampleDossier'
import { freshDatabase, type TestDatabase } from '@/tests/setup/database'
import { fillTwoMakers, KITS } from './twoMakers'

let database: TestDatabase
beforeAll(async () => {
  database = await freshDatabase()
  await fillTwoMakers(database)
})

const REQUESTS = 2_000
const PLANT: Scope = { plants: ['PL1'], laboratories: [] }

test('another’s sample and one that is nowhere take the same time: medians of 2,000 each differ by under 5 %', async () => {
  const codes = { foreign: KITS['PL2 LAB'], absent: KITS.nowhere }
  const took: Record<keyof typeof codes, number[]> = { foreign: [], absent: [] }
  const ask = async (name: keyof typeof codes) => {
    const startedAt = performance.now()
    const found = await sampleDossier(database.app, PLANT, codes[name], Date.now())
    took[name].push(performance.now() - startedAt)
    expect(found).toBeNull()
  }
  for (let n = 0; n < 200; n++) await ask(n % 2 ? 'foreign' : 'absent')
  took.foreign.length = 0
  took.absent.length = 0
  // In turns, and in both orders, so that whatever else the machine does falls on both alike.
  for (let n = 0; n < REQUESTS; n++)
    for (const name of n % 2 ? (['foreign', 'absent'] as const) : (['absent', 'foreign'] as const))
      await ask(name)
  const [foreign, absent] = [median(took.foreign), median(took.absent)]
  console.info(`foreign ${foreign.toFixed(3)} ms, absent ${absent.toFixed(3)} ms`)
  expect(Math.abs(foreign - absent) / Math.max(foreign, absent)).toBeLessThan(0.05)
}, 240_000)

function median(values: readonly number[]): number {
  const ascending = [...values].sort((a, b) => a - b)
  return (
    ((ascending[(ascending.length - 1) >> 1] as number) + (ascending[ascending.length >> 1] as number)) / 2
  )
}
