import { rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import { START_STEPS } from '@/tests/setup/launcher'
import { pick } from './programme'
import type { Torment } from './torment'
import type { Victim } from './victim'

const SIGNALS: NodeJS.Signals[] = ['SIGINT', 'SIGTERM']
const LONGEST_DELAY_MS = 2_000
/** In order, within ten seconds; the rest is for a machine with much else to do. */
const END_MS = 20_000

export const firstStarts: Torment = {
  name: 'first starts',
  what: 'Ctrl-C and SIGTERM at every step of first starts on new folders, with and without the demo; then a start that nobody interrupts.',
  round: 'a new folder, interrupted at one step, then at up to two more, then started',
  rounds: 18,
  shortRounds: 1,
  mostRoundSeconds: 180,
  async run({ rounds, random, own, finish }) {
    const done = new Map<string, number>()
    const first = Math.floor(random() * START_STEPS.length)
    for (let round = 0; round < rounds; round++) {
      const victim = await own({ isStarted: false })
      const note = join(victim.folder, 'demo-removed')
      // Each step once without the demo and once with it in twice as many rounds as there are steps.
      const hasDemo = Math.floor(round / START_STEPS.length) % 2 === 1
      if (hasDemo) rmSync(note)
      const steps: string[] = [START_STEPS[(first + round) % START_STEPS.length] as string]
      while (random() < 0.5 && steps.length < 3) steps.push(pick(random, START_STEPS))
      for (const step of steps) {
        await interrupt(victim, step, pick(random, SIGNALS), random() < 0.3 ? 0 : random() * LONGEST_DELAY_MS)
        done.set(step, (done.get(step) ?? 0) + 1)
      }
      writeFileSync(note, 'The torture starts without the demo.\n')
      await victim.prepare()
      await finish(victim)
    }
    return { did: `Interrupted ${[...done].map(([step, count]) => `${step} ${count}`).join(', ')}.` }
  },
}

/** Starts, waits for the line of a step and sends the signal; what has ended before that is as well. */
async function interrupt(victim: Victim, step: string, signal: NodeJS.Signals, delayMs: number) {
  const run = victim.launch()
  await run.waitFor(new RegExp(`^[✓·!] ${step} `, 'm'))
  await wait(delayMs)
  const startedAt = Date.now()
  run.child.kill(signal)
  const how = await Promise.race([run.ended, wait(END_MS, 'nothing yet', { ref: false })])
  if (how === 'nothing yet') {
    victim.record.wrongAnswers.push(
      `${signal} at ${step}: still running after ${Date.now() - startedAt} ms. It said:\n${run.output()}`,
    )
    run.child.kill('SIGKILL')
    await run.ended
  } else if (how !== 0) {
    victim.record.wrongAnswers.push(`${signal} at ${step}: ended with ${how}. It said:\n${run.output()}`)
  }
}
