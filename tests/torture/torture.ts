import { mkdtempSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import { findFreePort } from '@/lib/store/engine/freePort'
import { makeRandom } from '@/tests/bench/manyEvents'
import { FAULTS, type Fault, type Verdict } from './judge'
import type { OwnOptions, Torment } from './torment'
import { Victim } from './victim'

/** What became of one torment. */
export interface Outcome {
  name: string
  rounds: number
  seconds: number
  /** What was done, or why it was skipped. */
  did: string
  isSkipped: boolean
  sent: number
  acknowledged: number
  counts: Record<Fault, number>
  examples: string[]
}

export interface TortureOptions {
  seed: number
  /** Where data folders are made; a new folder below it is removed at the end. */
  parent: string
  /** As a test: the torments' short rounds by default. */
  isShort?: boolean
  /** What a torment may take beyond its rounds: most start a programme first. Default: four minutes. */
  graceSeconds?: number
  tell: (sentence: string) => void
}

/** Letters of a launcher’s last output in an example. */
const OUTPUT_SHOWN = 2_000

/** Inflicts torments, judging after each what it hurt. */
export class Torture {
  readonly #options: TortureOptions
  readonly #folder: string
  /** Every programme that was started, and what is to be done after its end. */
  readonly #victims = new Map<Victim, () => void>()
  #shared?: Promise<Victim>

  constructor(options: TortureOptions) {
    this.#options = options
    this.#folder = mkdtempSync(join(options.parent, 'holdfast-torture-'))
  }

  /** @param rounds default: the torment's own. */
  async inflict(torment: Torment, rounds?: number): Promise<Outcome> {
    const { seed, isShort = false, graceSeconds = 240, tell } = this.#options
    const startedAt = Date.now()
    tell(`${torment.name}: ${torment.what}`)
    const used = new Set<Victim>()
    const use = (victim: Victim) => {
      used.add(victim)
      return victim
    }
    const count = rounds ?? (isShort ? torment.shortRounds : torment.rounds)
    const outcome = emptyOutcome(torment.name, count)
    const ownSeed = mix(seed, torment.name)
    const finish = async (victim: Victim) => {
      used.delete(victim)
      await judgeInto(outcome, victim, ownSeed)
      for (const left of await victim.close()) addFault(outcome, 'left', left)
    }
    const limitSeconds = graceSeconds + count * torment.mostRoundSeconds
    try {
      const running = torment.run({
        rounds: count,
        seed: ownSeed,
        random: makeRandom(ownSeed),
        folder: this.#folder,
        isShort,
        shared: async () => {
          this.#shared ??= this.#make()
          return use(await this.#shared)
        },
        own: async (options) => use(await this.#make(options)),
        finish,
        tell: (sentence) => tell(`  ${sentence}`),
      })
      const result = await Promise.race([running, wait(limitSeconds * 1_000, null, { ref: false })])
      if (result === null) {
        addFault(outcome, 'wrong', `the torment was given up after ${limitSeconds} s${sayLast(used)}`)
        used.clear()
        this.#giveUp()
      } else {
        outcome.isSkipped = 'skipped' in result
        outcome.did = 'did' in result ? result.did : result.skipped
      }
    } catch (error) {
      addFault(outcome, 'wrong', `the torment broke off: ${(error as Error).stack}${sayLast(used)}`)
    }
    for (const victim of used) {
      if (victim === (await this.#shared)) await judgeInto(outcome, victim, ownSeed)
      else await finish(victim)
    }
    outcome.seconds = (Date.now() - startedAt) / 1_000
    tell(`  ${outcome.isSkipped ? 'Skipped. ' : ''}${outcome.did} ${Math.round(outcome.seconds)} s.`)
    for (const example of outcome.examples) tell(`  ✗ ${example}`)
    return outcome
  }

  /** Ends all programmes at once, so that what a torment still waits for fails; the next has a new one. */
  #giveUp() {
    for (const victim of this.#victims.keys()) victim.giveUp()
    this.#shared = undefined
  }

  /** Ends and removes everything. @returns the processes that were left running after `graceMs`. */
  async close(graceMs?: number): Promise<string[]> {
    const left: string[] = []
    for (const [victim, atEnd] of this.#victims) {
      left.push(...(await victim.close(graceMs)))
      atEnd()
    }
    rmSync(this.#folder, { recursive: true, force: true })
    return left
  }

  async #make({ folder, isStarted = true, atEnd = () => {} }: OwnOptions = {}): Promise<Victim> {
    const victim = new Victim(folder ?? mkdtempSync(join(this.#folder, 'data-')), await findFreePort())
    this.#victims.set(victim, atEnd)
    if (isStarted) await victim.prepare()
    return victim
  }
}

export function isFaultless({ counts }: Outcome): boolean {
  return Object.values(counts).every((count) => count === 0)
}

function sayLast(victims: ReadonlySet<Victim>): string {
  return [...victims].map(({ output }) => `\nA launcher said last:\n${output.slice(-OUTPUT_SHOWN)}`).join('')
}

async function judgeInto(outcome: Outcome, victim: Victim, seed: number) {
  try {
    add(outcome, await victim.judge(seed))
  } catch (error) {
    addFault(outcome, 'wrong', `it could not be judged: ${(error as Error).message}`)
  }
}

function emptyOutcome(name: string, rounds: number): Outcome {
  const counts = Object.fromEntries(Object.keys(FAULTS).map((fault) => [fault, 0])) as Outcome['counts']
  const nothing = { did: '', isSkipped: false, sent: 0, acknowledged: 0, examples: [] }
  return { name, rounds, seconds: 0, counts, ...nothing }
}

function addFault(outcome: Outcome, fault: Fault, example: string) {
  outcome.counts[fault] += 1
  outcome.examples.push(`${fault}: ${example}`)
}

function add(outcome: Outcome, { sent, acknowledged, counts, examples }: Verdict) {
  outcome.sent += sent
  outcome.acknowledged += acknowledged
  for (const fault of Object.keys(counts) as Fault[]) outcome.counts[fault] += counts[fault]
  outcome.examples.push(...examples)
}

/** A seed for each torment, so that one that is run alone does the same as among others. */
function mix(seed: number, name: string): number {
  return [...name].reduce((mixed, letter) => (mixed * 31 + letter.charCodeAt(0)) % 2_147_483_645, seed)
}
