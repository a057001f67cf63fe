import { addTo } from '@/lib/custody/addTo'
import { findFailure, getFitness } from '@/lib/custody/fitness'
import type { Sample } from '@/lib/custody/sample'
import type { StandingTimes } from '@/lib/hold/standing'
import { DutySamples, isCancelled } from '@/lib/schedule/dutySamples'
import { findOwedTests, type OwedTest, type Programme } from '@/lib/schedule/owedTests'

/** What a forecast adds to a sample: when its standing changes if nothing is reported, and whether only an opening out of hours could save it. */
export interface SampleScore {
  times: Pick<StandingTimes, 'tightAt' | 'atRiskAt'>
  needsOpening: boolean
}

/** A programme at one time, with what judging one of its samples needs to know of the others. */
export class ProgrammeIndex {
  readonly dutySamples: DutySamples
  /** Tests owed with a first act within the days given. */
  readonly owed: readonly OwedTest[]
  readonly #owedByTest: ReadonlyMap<string, OwedTest>
  readonly #plantByCancelled: ReadonlyMap<string, string>
  /** Kits that one which is not cancelled replaces, by the register. */
  readonly #replaced: ReadonlySet<string>
  readonly #lastValidAt = new Map<string, number>()
  /** The spare kit that can replace each sample: one kit is offered for one. */
  readonly #spares = new Map<string, string>()
  readonly #byCode: ReadonlyMap<string, Sample>

  constructor(
    readonly programme: Programme,
    /** By kit code; without a score the share of time used decides. */
    readonly scores: ReadonlyMap<string, SampleScore> = new Map(),
    aheadDays = 0,
  ) {
    const { register, samples, now } = programme
    this.#byCode = new Map(samples.map((sample) => [sample.kit.code, sample]))
    this.dutySamples = new DutySamples(samples, register)
    this.owed = findOwedTests(programme, aheadDays, this.dutySamples)
    this.#owedByTest = new Map(this.owed.map((one) => [`${one.number} ${one.duty}`, one]))
    this.#plantByCancelled = new Map(samples.filter(isCancelled).map(({ kit }) => [kit.code, kit.plant]))
    this.#replaced = new Set(
      samples.flatMap((one) =>
        one.kit.replaces === null || isCancelled(one) || one.kit.purpose === 'retained'
          ? []
          : [one.kit.replaces],
      ),
    )
    for (const sample of samples) {
      const { kit, history } = sample
      const product = this.#findTested(sample)
      if (product === null || !this.isOwed(sample) || !history.milestones.has('reported')) continue
      if (getFitness(sample, now) !== 'fit') continue
      const lastAt = this.#lastValidAt.get(product) ?? Number.NEGATIVE_INFINITY
      this.#lastValidAt.set(product, Math.max(kit.issuedAt, lastAt))
    }
    this.#offerSpares()
  }

  /** Offers each spare kit for one sample that has to be replaced, the last that failed first: its line may still run. */
  #offerSpares(): void {
    const { samples } = this.programme
    const spares = samples
      .filter((one) => this.isSpare(one))
      .sort((a, b) => (a.kit.code < b.kit.code ? -1 : 1))
    if (spares.length === 0) return
    const byLane = new Map<string, string[]>()
    for (const spare of spares) addTo(byLane, toLane(spare), spare.kit.code)
    const needs = samples.flatMap((sample) => {
      const need = this.findReplacementNeed(sample)
      return need === null ? [] : [{ sample, at: need.at }]
    })
    needs.sort((a, b) => b.at - a.at || (a.sample.kit.code < b.sample.kit.code ? -1 : 1))
    for (const { sample } of needs) {
      const spare = byLane.get(toLane(sample))?.shift()
      if (spare !== undefined) this.#spares.set(sample.kit.code, spare)
    }
  }

  /** A sample by its kit code; null where nothing can be asked about it. */
  find(code: string): Sample | null {
    return this.#byCode.get(code) ?? null
  }

  /** Whether a duty can ask for it: by its purpose, or since it replaces another. */
  isOwed(sample: Sample): boolean {
    return this.dutySamples.isOwed(sample)
  }

  /** The test that a sample stands for, if it is still owed. */
  findOwedTest({ kit }: Sample): OwedTest | null {
    return this.#listTests(kit.code).filter((one) => one.kit === kit.code)[0] ?? null
  }

  /** The first test still owed for which a sample counted, whichever kit stands for it now. */
  findTestOfFailed({ kit }: Sample): OwedTest | null {
    return this.#listTests(kit.code)[0] ?? null
  }

  #listTests(code: string): OwedTest[] {
    return this.dutySamples
      .testsFor(code)
      .flatMap(({ number, duty }) => this.#owedByTest.get(`${number} ${duty}`) ?? [])
      .sort((a, b) => a.dueDay - b.dueDay)
  }

  /** Whether a kit replaces it, by the register or by an event, that is not cancelled. */
  isReplaced({ kit, history }: Sample): boolean {
    if (this.#replaced.has(kit.code)) return true
    // An event may name any kit: the result must not reveal whether another plant's kit exists.
    return history.replacedBy !== null && this.#plantByCancelled.get(history.replacedBy) !== kit.plant
  }

  /** Since when (ms UTC) a sample has to be replaced, and why; null if it does not. */
  findReplacementNeed(sample: Sample): ReturnType<typeof findFailure> {
    const failure = findFailure(sample, this.programme.now)
    if (failure === null || failure.at > this.programme.now) return null
    if (!this.isOwed(sample) || this.isReplaced(sample)) return null
    return this.#isProvedAfter(sample, failure.at) ? null : failure
  }

  /** Whether a sample issued later has proved what a reported one should have: what the older one lacks matters no more. */
  isProvedLater(sample: Sample): boolean {
    return sample.history.milestones.has('reported') && this.#isProvedAfter(sample, sample.kit.issuedAt)
  }

  /** Whether a sample of the same product, issued after `at` (ms UTC), is reported and fit. */
  #isProvedAfter(sample: Sample, at: number): boolean {
    return (this.#lastValidAt.get(this.#findTested(sample) ?? '') ?? Number.NEGATIVE_INFINITY) > at
  }

  /** The code of a spare kit at the same plant for the same laboratory that can replace it; null if there is none. */
  findSpare(sample: Sample): string | null {
    return this.#spares.get(sample.kit.code) ?? null
  }

  /** Whether it is a kit without a product that lies uncut at its plant and replaces nothing yet. */
  private isSpare(sample: Sample): boolean {
    const { kit, history } = sample
    if (kit.product !== null || kit.purpose !== 'first' || kit.posted === 'not yet') return false
    if (kit.issuedAt > this.programme.now || this.dutySamples.findReplaced(sample) !== null) return false
    return history.milestones.size === 0 && history.ending === null
  }

  /** The product whose tests it counts for. Another maker's product counts as none. */
  #findTested({ kit, product }: Sample): string | null {
    return this.programme.register.findTestedProduct(kit.plant, product)?.code ?? null
  }
}

function toLane({ kit }: Sample): string {
  return JSON.stringify([kit.plant, kit.laboratory])
}
