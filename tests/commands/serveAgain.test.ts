import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { answerServeAgain, askToServeAgain } from '@/lib/commands/serveAgain'
import { writeServedNote } from '@/lib/commands/servedNote'

const folder = mkdtempSync(join(tmpdir(), 'holdfast-serve-again-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

// `npm run demo -- --remove` drops the database once it is answered.
test('a request made after the note is written and before the launcher listens is answered', async () => {
  writeServedNote(folder, { address: 'http://localhost:4979', database: 'demo', pid: process.pid })
  const asked = askToServeAgain(folder, 'demo')
  const changed: string[] = []
  answerServeAgain(folder, async (database) => void changed.push(database))
  await asked
  expect(changed).toEqual(['demo'])
})
