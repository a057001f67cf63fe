import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { ensureBuild } from '@/lib/commands/build'
import { getRunSeed } from '@/tests/setup/seed'
import { chooseUsualOrLong } from '@/tests/setup/usualOrLong'
import { TORMENTS } from './torments'
import { isFaultless, Torture } from './torture'

/** What a usual run inflicts: the others take minutes, or wait for timeouts. */
const USUAL = ['kills', 'cuts', 'read-only', 'hostile bodies']
const isInflicted = chooseUsualOrLong({ usual: (name: string) => USUAL.includes(name), long: () => true })

// The short form of `npm run torture`: the same torments, a few rounds of each.
describe('a Holdfast that is tortured', () => {
  beforeEach(({ skip }) => skip(process.platform !== 'linux', 'finding and ending its processes takes /proc'))
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

  test.for(TORMENTS)('$name: nothing is lost, doubled or different', async (torment, { skip }) => {
    skip(!isInflicted(torment.name), 'HOLDFAST_TESTS=long runs it')
    const outcome = await torture.inflict(torment)
    skip(outcome.isSkipped, outcome.did)
    expect(outcome.examples).toEqual([])
    expect(isFaultless(outcome)).toBe(true)
  })

  test('at the end no process is left', async () => {
    expect(await torture.close()).toEqual([])
  })
})
