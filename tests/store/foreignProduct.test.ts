import { beforeAll, describe, expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { issueKitCode } from '@/lib/custody/kitCode'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { board } from '@/lib/store/read/board'
import { dueWork } from '@/lib/store/read/due/dueWork'
import { sampleDossier } from '@/lib/store/read/sample/sampleDossier'
import { minimalStandard } from '@/tests/bench/manyEvents'
import { wire } from '@/tests/cases/smallProgramme'
import { FOREIGN, fillDue } from '@/tests/flows/dueProgramme'
import { freshDatabase, type TestDatabase } from '@/tests/setup/database'

const random = minimalStandard(90_211)
const [SPARE, BLANK] = [issueKitCode(random), issueKitCode(random)]
const NOW = Date.parse('2026-11-28T12:00:00Z')
const OWN = { plants: ['PL1'], laboratories: [] }
const THEIRS = { plants: ['PL2'], laboratories: [] }

let database: TestDatabase
beforeAll(async () => {
  database = await freshDatabase()
  await fillDue(database, NOW, [SPARE, BLANK])
})

describe('a product of another maker that is named for a spare kit', () => {
  test('counts for no test of theirs, and is as one that is nowhere', async () => {
    const { app } = database
    const before = await dueWork(app, THEIRS, NOW)
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

    const after = await dueWork(app, THEIRS, NOW)
    expect(after.owed.map(({ duty }) => duty)).toEqual(['CORK yearly'])
    expect([after.owed, after.pressing]).toEqual([before.owed, before.pressing])

    const own = await dueWork(app, OWN, NOW)
    expect(JSON.stringify([own.owed, own.pressing, [...own.products]])).not.toMatch(/CORK yearly|secret/)
    const dossiers = await Promise.all([SPARE, BLANK].map((code) => sampleDossier(app, OWN, code, NOW)))
    const told = dossiers.map((one) => [
      one?.productName,
      one?.row.productName,
      one?.row.protocol,
      one?.sample.clocks,
    ])
    expect(told).toEqual([
      [null, null, null, []],
      [null, null, null, []],
    ])
    const flags = dossiers.map(
      (one) => one?.sample.flags.find(({ kind }) => kind === 'product unknown')?.detail,
    )
    expect(flags[0]?.replace('CORK', 'KORC')).toBe(flags[1])
    expect(JSON.stringify(await board(app, OWN, { search: FOREIGN[2] }, NOW))).not.toContain(SPARE)
  })
})
