import fc from 'fast-check'
import { afterAll } from 'vitest'
import { z } from 'zod'
import { checkRows } from '@/lib/store/scope/statement'
import { endFile } from './endOfFile'
import { getRunSeed } from './seed'

// Loaded before each test file. Its properties begin from the seed of the run, so that a failure can be repeated.
fc.configureGlobal({ seed: getRunSeed() })
// Every row that the store reads is held against the schema of its statement, and has no column more.
checkRows((rows, row) => {
  const { error } = z.array(row instanceof z.ZodObject ? row.strict() : row).safeParse(rows)
  if (error) throw new Error(z.prettifyError(error))
})
// A file that could not be loaded has no last test.
await endFile()
afterAll(endFile)
