import fc from 'fast-check'
import { afterAll } from 'vitest'
import { endFile } from './endOfFile'
import { runSeed } from './seed'

// Loaded before each test file. Its properties begin from the seed of the run, so that a failure can be repeated.
fc.configureGlobal({ seed: runSeed() })
// A file that could not be loaded has no last test.
await endFile()
afterAll(endFile)
