import { mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { recordSchedule } from '@/lib/store/backup/backupStatus'
import { nameScheduledFile } from '@/lib/store/backup/scheduledFiles'
import { dropDatabase, withDatabase } from '@/lib/store/migrate/databases'
import { ensureDerived } from '@/lib/store/projection/rebuild'
import { fillTwoMakers } from '../access/twoMakers'
import { makeTestDatabase, type TestDatabase } from '../setup/database'
import { endRunningCommands, launchCommand } from '../setup/launcher'
import { makeFolder, sumUp } from '../store/backup/backupCase'

let folder: string
let source: TestDatabase
let target: string
const at = (one: string) => join(folder, one)

beforeAll(async () => {
  folder = makeFolder()
  source = await makeTestDatabase()
  await fillTwoMakers(source)
  // As after a start: else a restore would derive the rows for the first time.
  await ensureDerived(source.app, Date.now())
  target = withDatabase(source.url, `${source.name}_target`)
})
afterAll(async () => {
  await endRunningCommands()
  await dropDatabase(target, true)
})

async function run(name: string, args: string[], variables: Record<string, string> = {}) {
  const command = launchCommand(name, args, { HOLDFAST_DATA_DIR: at('data'), ...variables })
  return { code: await command.ended, output: command.output() }
}

describe('npm run backup and restore', () => {
  test('save and restore everything, with a key that backup made', async () => {
    const made = await run('backup', ['--make-key', at('key')])
    const key = /HOLDFAST_BACKUP_KEY=(age1\S+)/.exec(made.output)?.[1] as string
    expect(readFileSync(at('key'), 'utf8')).toContain(key)
    const variables = { DATABASE_URL: source.url, HOLDFAST_BACKUP_KEY: key }
    // The command notes in the database, afterwards, that it made a backup.
    const before = await sumUp(source.url)
    const saved = await run('backup', [at('file')], variables)
    expect(saved).toMatchObject({ code: 0 })
    expect(saved.output).toMatch(/file: \d+ tables, \d+ rows, \d+ bytes, as of \S+Z\.\n +It is encrypted/)
    const { rows: lines } = await source.owner.query('select * from audit_entry order by seq desc limit 1')
    expect(lines).toMatchObject([
      {
        who: 'command',
        what: 'saved a backup',
        subject: at('file'),
        after: { rows: Number(/(\d+) rows/.exec(saved.output)?.[1]), isEncrypted: true },
      },
    ])

    const refused = await run('restore', [at('file')], { DATABASE_URL: target })
    expect(refused).toMatchObject({ code: 1 })
    expect(refused.output).toMatch(/is encrypted\. Name the file with the secret key/)
    const identity = ['--identity', at('key')]
    const checked = await run('restore', [at('file'), ...identity, '--check'])
    expect(checked).toMatchObject({ code: 0 })
    expect(checked.output).toMatch(/is whole: \d+ tables/)
    const restored = await run('restore', [at('file'), ...identity], { DATABASE_URL: target })
    expect(restored.output).toMatch(/Every count and checksum is the backup’s/)
    expect(restored).toMatchObject({ code: 0 })
    expect(await sumUp(target)).toEqual(before)

    const again = await run('restore', [at('file'), ...identity], { DATABASE_URL: target })
    expect(again).toMatchObject({ code: 1 })
    expect(again.output).toMatch(/is not empty: its table \w+ has rows/)
    await dropDatabase(target)
  })

  test('say how they are used', async () => {
    expect(await run('backup', [])).toMatchObject({
      code: 1,
      output: expect.stringMatching(/npm run backup -- FILE/),
    })
    expect(await run('restore', ['a', '--x'])).toMatchObject({
      code: 1,
      output: expect.stringMatching(/--identity/),
    })
    expect(await run('move', [])).toMatchObject({
      code: 1,
      output: expect.stringMatching(/npm run move -- DATABASE_URL/),
    })
  })
})

test('npm run move copies without a file', async () => {
  // It leaves out what is known of the backups that were made above.
  await source.owner.query("delete from app_metadata where name = 'backup'")
  const before = await sumUp(source.url)
  await recordSchedule(source.owner, Date.now())
  const moved = await run('move', [target], { DATABASE_URL: source.url })
  expect(moved.output).toMatch(/has everything as of \S+Z\./)
  expect(moved).toMatchObject({ code: 0 })
  expect(await sumUp(target)).toEqual(before)
  const again = await run('move', [target], { DATABASE_URL: source.url })
  expect(again).toMatchObject({ code: 1 })
  expect(again.output).toMatch(/is not empty/)
  await dropDatabase(target)
})

describe('npm start on a folder of an older PostgreSQL', () => {
  test('refuses, leaves it alone, and says how to restore the last backup', async () => {
    const cluster = at('old/engine/cluster')
    mkdirSync(join(cluster, 'global'), { recursive: true })
    writeFileSync(join(cluster, 'PG_VERSION'), '17\n')
    // It begins with the identifier of the cluster, 64 bits in the order of this machine.
    writeFileSync(join(cluster, 'global/pg_control'), new BigUint64Array([7_432_101_234_567_890_123n]))
    const without = await run('start', [], { HOLDFAST_DATA_DIR: at('old') })
    expect(without).toMatchObject({ code: 1 })
    expect(without.output).toMatch(/PostgreSQL 17 wrote the data in .*, and the installed engine is 18\./)
    expect(without.output).toMatch(/There is no backup in .*old\/backups to restore\. Make one with/)

    mkdirSync(at('old/backups'))
    const nameFile = (database: string, madeAt: number, of = '7432101234567890123') =>
      nameScheduledFile({ database, cluster: of }, madeAt)
    const [older, newest, foreign] = [
      nameFile('holdfast', Date.UTC(2026, 8, 30)),
      nameFile('holdfast', Date.UTC(2026, 9, 1)),
      nameFile('holdfast-2', Date.UTC(2026, 9, 2)),
    ]
    const others = nameFile('holdfast', Date.UTC(2026, 9, 3), '1')
    for (const one of [newest, older, foreign, others, 'holdfast-notes.backup'])
      writeFileSync(at(`old/backups/${one}`), '')
    const started = await run('start', [], { HOLDFAST_DATA_DIR: at('old') })
    expect(started).toMatchObject({ code: 1 })
    expect(started.output).toContain(`npm run restore -- ${at(`old/backups/${newest}`)}`)
    expect(started.output).toMatch(/Move \S+old\/engine aside, as \S+old\/engine-17/)
    expect(readFileSync(join(cluster, 'PG_VERSION'), 'utf8')).toBe('17\n')
  })
})
