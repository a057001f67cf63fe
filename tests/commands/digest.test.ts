import { execFile } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { formatKitCode } from '@/lib/custody/kitCode'
import { fillTwoMakers, KITS } from '@/tests/access/twoMakers'
import { addPerson, deleteMails, withdrawDispatches } from '@/tests/digest/programme'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'

const ROOT = fileURLToPath(new URL('../..', import.meta.url))
let database: TestDatabase
let folder = ''
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'digest-'))
  database = await makeTestDatabase()
  await fillTwoMakers(database)
  await withdrawDispatches(database, Date.now())
  await deleteMails(database)
  await addPerson(database, 'ann@test.invalid', [{ role: 'plant contact', place: 'PL1' }], { name: 'Ann' })
  await addPerson(database, 'ben@test.invalid', [{ role: 'plant contact', place: 'PL2' }], { name: 'Ben' })
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

/** Runs the command as a person would. */
function runDigest(...options: string[]): Promise<{ code: number; stdout: string; stderr: string }> {
  const env = { ...process.env, DATABASE_URL: database.url, HOLDFAST_DATA_DIR: folder }
  return new Promise((resolve) => {
    execFile(
      process.execPath,
      ['--import', 'tsx', 'lib/commands/digest.ts', ...options],
      { cwd: ROOT, env },
      (error, stdout, stderr) => resolve({ code: error ? Number(error.code) : 0, stdout, stderr }),
    )
  })
}

test('a dry run prints each mail with its recipient, and stores and sends nothing', async () => {
  const { code, stdout } = await runDigest('--dry-run')
  expect(code).toBe(0)
  // Each person's mail begins at the left margin; its text is indented.
  const each = stdout.split(/\n(?=\w+ <)/)
  const [ann, ben] = ['Ann', 'Ben'].map((name) => each.find((one) => one.startsWith(`${name} <`)))
  expect(ann).toMatch(/^Ann <ann@test\.invalid>, \d{4}-W\d\d, due .+ Europe\/Lisbon: Holdfast \d{4}-W\d\d: /)
  expect(ann).toContain(formatKitCode(KITS['PL1 LAB']))
  expect(ann).toContain(`/samples/${KITS['PL1 LAB']}`)
  expect(ann).not.toContain(formatKitCode(KITS['PL2 LAB']))
  expect(ben).toContain(formatKitCode(KITS['PL2 LAB']))
  expect(ben).not.toContain(formatKitCode(KITS['PL1 LAB']))
  expect(stdout).not.toMatch(/\?token=\w/)
  const { rows } = await database.authPool.query('select from digest_mail')
  expect(rows).toEqual([])
})

test('a week can be given; a nonexistent one is refused with an example', async () => {
  const far = await runDigest('--dry-run', '--week', '2090-W01')
  expect(far.stdout).toContain('2090-W01')
  const none = await runDigest('--dry-run', '--week', '2025-W53')
  expect(none.code).not.toBe(0)
  expect(none.stderr + none.stdout).toContain('"2025-W53" is not an ISO week. Write it like 2026-W48.')
})

test('without --dry-run it prints its usage and does nothing', async () => {
  const { code, stdout, stderr } = await runDigest()
  expect(code).not.toBe(0)
  expect(stdout + stderr).toContain('npm run digest -- --dry-run [--week 2026-W48] [--demo]')
})
