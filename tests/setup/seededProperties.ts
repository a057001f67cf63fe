import fc from 'fast-check'
import { runSeed } from './seed'

/** Loaded before each test file: its properties begin from the seed of the run, so that a failure can be repeated. */
fc.configureGlobal({ seed: runSeed() })
