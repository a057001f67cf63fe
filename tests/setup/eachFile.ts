import fc from 'fast-check'
import { afterAll } from 'vitest'
import { z } from 'zod'
import { checkRows } from '@/lib/store/scope/statement'
import { endFile } from './endOfFile'
import { getRunSeed } from './seed'

// Preloaded for each test file. Property tests start from the seed of the run, so that a failure can be reproduced.
fc.configureGlobal({ seed: getRunSeed() })
// Checks every row that the store reads against the schema of its statement; extra columns fail.
checkRows((rows, row) => {
  const { error } = z.array(row instanceof z.ZodObject ? row.strict() : row).safeParse(rows)
  if (error) throw new Error(z.prettifyError(error))
})
// A file that fails to load has no last test.
await endFile()
afterAll(endFile)
