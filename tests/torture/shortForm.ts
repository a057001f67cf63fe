import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { ensureBuild } from '@/lib/commands/build'
import { drawUsual } from '@/tests/setup/drawUsual'
import { getRunSeed } from '@/tests/setup/seed'
import type { Torment } from './torment'
import { isFaultless, Torture } from './torture'

/** Longer than any torment has before it is given up, ms. */
const TIMEOUT_MS = 1_200_000

/**
 * The short form of `npm run torture` as tests of the calling file: the same torments, a few rounds of each. The usual run draws some
 * of them, since all of them keep two cores busy for minutes.
 */
export function inflictShortly(torments: readonly Torment[]) {
  describe('a Holdfast that is tortured', () => {
    beforeEach(({ skip }) =>
      skip(process.platform !== 'linux', 'finding and ending its processes takes /proc'),
    )
    let torture: Torture
    let parent: string
    beforeAll(async () => {
      await ensureBuild()
      parent = mkdtempSync(join(tmpdir(), 'holdfast-short-'))
      torture = new Torture({ seed: getRunSeed(), parent, isShort: true, tell: () => {} })
    })
    afterAll(async () => {
      await torture.close()
      rmSync(parent, { recursive: true, force: true })
    })

    test.for(drawUsual(torments, Math.ceil(torments.length / 2)))(
      '$name: nothing is lost, doubled or different',
      { timeout: TIMEOUT_MS },
      async (torment, { skip }) => {
        const outcome = await torture.inflict(torment)
        skip(outcome.isSkipped, outcome.did)
        expect(outcome.examples).toEqual([])
        expect(isFaultless(outcome)).toBe(true)
      },
    )

    test('at the end no process is left', async () => {
      expect(await torture.close()).toEqual([])
    })
  })
}
