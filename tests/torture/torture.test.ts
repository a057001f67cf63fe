import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeEach, expect, test } from 'vitest'
import { getRunSeed } from '@/tests/setup/seed'
import type { Torment } from './torment'
import { Torture } from './torture'

const parent = mkdtempSync(join(tmpdir(), 'holdfast-given-up-'))
afterAll(() => rmSync(parent, { recursive: true, force: true }))
beforeEach(({ skip }) => skip(process.platform !== 'linux', 'finding and ending processes takes /proc'))

const common = { what: '', round: '', rounds: 1, shortRounds: 1, mostRoundSeconds: 0.2 }

test('a torment that does not end is given up with the reason, and what it runs is ended', async () => {
  const torture = new Torture({ seed: getRunSeed(), parent, graceSeconds: 0, tell: () => {} })
  let startAgain: () => unknown = () => {}
  let ended: Promise<number | string> = Promise.resolve('it was not started')
  const endless: Torment = {
    ...common,
    name: 'endless',
    async run({ own }) {
      const victim = await own({ isStarted: false })
      ended = victim.launch().ended
      startAgain = () => victim.launch()
      return new Promise(() => {})
    },
  }
  const outcome = await torture.inflict(endless)
  expect(outcome.counts.wrong).toBe(1)
  expect(outcome.examples).toEqual([expect.stringMatching(/^wrong: the torment was given up after 0.2 s/)])
  expect(await ended).toBe('SIGKILL')
  expect(startAgain).toThrow('given up')
  expect(await torture.close()).toEqual([])
})
