import { beforeAll, describe, expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { generateKitCode } from '@/lib/custody/kitCode'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { getBoard } from '@/lib/store/read/board'
import { getDueWork } from '@/lib/store/read/due/dueWork'
import { getSampleDossier } from '@/lib/store/read/sample/sampleDossier'
import { makeRandom } from '@/tests/bench/manyEvents'
import { wire } from '@/tests/cases/smallProgramme'
import { addDueSamples, FOREIGN } from '@/tests/flows/dueProgramme'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'

const random = makeRandom(90_211)
const [SPARE, BLANK] = [generateKitCode(random), generateKitCode(random)]
const NOW = Date.parse('2026-11-28T12:00:00Z')
const OWN = { plants: ['PL1'], laboratories: [] }
const THEIRS = { plants: ['PL2'], laboratories: [] }

let database: TestDatabase
beforeAll(async () => {
  database = await makeTestDatabase()
  await addDueSamples(database, NOW, [SPARE, BLANK])
})

describe('a product of another maker that is named for a spare kit', () => {
  test('counts for no test of theirs, and is as one that is nowhere', async () => {
    const { app } = database
    const before = await getDueWork(app, THEIRS, NOW)
    const at = new Date(NOW - 86_400_000).toISOString()
    const events = [
      { sample: SPARE, product: 'CORK' },
      { sample: BLANK, product: 'KORC' },
    ].flatMap(({ sample, product }) => [
      { source: 'dock', id: `cut ${sample}`, sample, kind: 'collected', at, product },
      ...['received', 'loaded', 'reported'].map((kind) => ({
        source: 'lab',
        id: kind + sample,
        sample,
        kind,
        at,
      })),
    ])
    await acceptEvents(app, wire(...events), UNRESTRICTED, NOW)

    const after = await getDueWork(app, THEIRS, NOW)
    expect(after.owed.map(({ duty }) => duty)).toEqual(['CORK yearly'])
    expect([after.owed, after.overdue]).toEqual([before.owed, before.overdue])

    const own = await getDueWork(app, OWN, NOW)
    expect(JSON.stringify([own.owed, own.overdue, [...own.products]])).not.toMatch(/CORK yearly|secret/)
    const dossiers = await Promise.all([SPARE, BLANK].map((code) => getSampleDossier(app, OWN, code, NOW)))
    const shown = dossiers.map((one) => [
      one?.productName,
      one?.row.productName,
      one?.row.protocol,
      one?.sample.clocks,
    ])
    expect(shown).toEqual([
      [null, null, null, []],
      [null, null, null, []],
    ])
    const flags = dossiers.map(
      (one) => one?.sample.flags.find(({ kind }) => kind === 'product unknown')?.detail,
    )
    expect(JSON.stringify(flags[0])?.replace('CORK', 'KORC')).toBe(JSON.stringify(flags[1]))
    expect(JSON.stringify(await getBoard(app, OWN, { search: FOREIGN[2] }, NOW))).not.toContain(SPARE)
  })
})
