import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vitest/config'
import { chooseSeed } from './tests/setup/seed.ts'

/** Tests of pure code run once in each of these zones: none may give another result because of where the machine stands. */
const zones = ['UTC', 'America/New_York', 'Asia/Kolkata']
const pureTests = [
  'hold',
  'lane',
  'custody',
  'schedule',
  'policy',
  'judgement',
  'intake',
  'app',
  'messages',
  'reference',
].map((part) => `tests/${part}/**/*.test.ts`)
/** Programmes by the dozen: they take long, and their own zones are several, so one machine's zone will do. */
const simulations = 'tests/lane/simulated/**'
const zoneTest = 'tests/setup/zone.test.ts'
const rulesTest = 'tests/rules.test.ts'
const flowTests = 'tests/flows/**/*.test.ts'
/** What says how fast a server answers under attack; work beside it would be counted as the server's. */
const latencyTests = ['hostileBodies', 'bursts'].map((name) => `tests/flows/${name}.test.ts`)
/** Each kind of torment in its short form, on three programmes at the same time. */
const torments = ['serving', 'connections', 'starting'].map((which) => `tests/torture/${which}.test.ts`)

// The zone is in the worker's environment from its start: setting it later does not reach a Date already used, nor a thread.
const pureProjects = zones.map((zone) => ({
  extends: true as const,
  test: {
    name: `pure ${zone}`,
    include: [...pureTests, zoneTest],
    exclude: zone === 'UTC' ? [] : [simulations],
    pool: 'forks' as const,
    env: { TZ: zone },
  },
}))

export default defineConfig({
  resolve: { alias: { '@': fileURLToPath(new URL('.', import.meta.url)) } },
  test: {
    provide: { seed: chooseSeed() },
    setupFiles: './tests/setup/eachFile.ts',
    reporters: ['default', './tests/setup/closingReporter.ts'],
    // A snapshot that lacks its file fails, here as in CI; only -u writes.
    update: 'none',
    // Generous, so that a slow machine fails no test: what takes how long is for the bench to say.
    testTimeout: 300_000,
    hookTimeout: 300_000,
    teardownTimeout: 30_000,
    expect: { poll: { timeout: 30_000 } },
    // One more than two cores can run: tests of mails, queues and pages mostly wait. With a fourth each file took half as long
    // again, and the run no less.
    maxWorkers: 3,
    // Files share processes, so that what they import is loaded once for each: a file leaves nothing behind that another meets.
    isolate: false,
    projects: [
      ...pureProjects,
      { extends: true, test: { name: 'rules', include: [rulesTest], pool: 'forks' } },
      {
        extends: true,
        test: {
          name: 'database',
          include: ['tests/**/*.test.ts'],
          exclude: [...pureTests, zoneTest, rulesTest, flowTests, ...torments, 'tests/bench/**'],
          globalSetup: './tests/setup/engine.ts',
          pool: 'forks',
        },
      },
      {
        extends: true,
        test: {
          name: 'flows',
          include: [flowTests],
          exclude: latencyTests,
          globalSetup: ['engine', 'browserServer', 'sharedServers'].map((one) => `./tests/setup/${one}.ts`),
          pool: 'forks',
          // After all others: else what a browser waits for is waited for on a machine that computes.
          sequence: { groupOrder: 1 },
        },
      },
      {
        extends: true,
        // Last and by themselves: what is killed and started again all the time would make others wait.
        test: { name: 'torture', include: torments, pool: 'forks', sequence: { groupOrder: 2 } },
      },
      {
        extends: true,
        test: {
          name: 'latency',
          include: latencyTests,
          globalSetup: './tests/setup/engine.ts',
          pool: 'forks',
          // Alone, after everything else.
          sequence: { groupOrder: 3 },
        },
      },
    ],
  },
})
