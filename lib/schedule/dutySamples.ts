import type { Register } from '@/lib/custody/register'
import type { PURPOSES } from '@/lib/custody/registerDocument'
import type { Sample } from '@/lib/custody/sample'
import type { DutyContent } from '@/lib/custody/testingEntries'
import { toLocalDay } from '@/lib/hold/zone'
import { Occurrences, resolveTestedProduct } from './occurrences'

/** One test of a duty, by the duty's code and the test's number. */
export interface TestRef {
  duty: string
  number: number
}

/**
 * Which samples count for which test. A kit of a duty's product counts by the day of its issue, a re-collection by that of
 * the first kit it replaces.
 */
export class DutySamples {
  readonly #samplesByTest = new Map<string, Sample[]>()
  readonly #testsBySample = new Map<string, TestRef[]>()
  /** The sample that each kit replaces by an event, by the kit's code. */
  readonly #replacedByEvent: ReadonlyMap<string, Sample>
  readonly #byCode: ReadonlyMap<string, Sample>

  constructor(samples: readonly Sample[], register: Register) {
    this.#byCode = new Map(samples.map((sample) => [sample.kit.code, sample]))
    this.#replacedByEvent = mapReplacedByEvent(samples, this.#byCode)
    const dutiesByProduct = new Map<string, { duty: DutyContent; occurrences: Occurrences; zone: string }[]>()
    for (const duty of register.duties.values()) {
      const tested = resolveTestedProduct(duty, register)
      if (tested === null) continue
      const duties = dutiesByProduct.get(tested.product) ?? []
      duties.push({ duty, occurrences: new Occurrences(duty, register), zone: tested.zone })
      dutiesByProduct.set(tested.product, duties)
    }
    const ordered = samples.filter((one) => this.isOwed(one) && !isCancelled(one)).sort(compareByIssue)
    for (const sample of ordered) {
      const first = this.#findOriginal(sample)
      const product = register.findTestedProduct(sample.kit.plant, sample.product ?? first.product)
      if (product === null) continue
      for (const { duty, occurrences, zone } of dutiesByProduct.get(product.code) ?? []) {
        if (duty.laboratory !== sample.kit.laboratory) continue
        const test = occurrences.findOpen(toLocalDay(first.kit.issuedAt, zone))
        if (test) this.#add(sample, { duty: duty.code, number: test.number })
      }
    }
  }

  /** In the order of issue. */
  samplesFor(test: TestRef): readonly Sample[] {
    return this.#samplesByTest.get(toTestKey(test)) ?? []
  }

  /** In the order of their duties' codes. */
  testsFor(code: string): readonly TestRef[] {
    return this.#testsBySample.get(code) ?? []
  }

  /** Whether a duty can ask for a sample: by its purpose, or since an event names it as the replacement of one that is owed. */
  isOwed(sample: Sample): boolean {
    if (isOwed(sample.kit.purpose)) return true
    const seen = new Set<string>()
    let replaced = this.findReplaced(sample)
    while (replaced !== null && !seen.has(replaced.kit.code)) {
      if (isOwed(replaced.kit.purpose)) return true
      seen.add(replaced.kit.code)
      replaced = this.findReplaced(replaced)
    }
    return false
  }

  /** The sample that it replaces, by the register or by an event; null if there is none, or it is not known. */
  findReplaced({ kit }: Sample): Sample | null {
    return this.#byCode.get(kit.replaces ?? '') ?? this.#replacedByEvent.get(kit.code) ?? null
  }

  /** The first sample of a chain of replacements, as far as it is known. */
  #findOriginal(sample: Sample): Sample {
    const seen = new Set<string>()
    let first = sample
    while (!seen.has(first.kit.code)) {
      seen.add(first.kit.code)
      first = this.findReplaced(first) ?? first
    }
    return first
  }

  #add(sample: Sample, test: TestRef): void {
    const samples = this.#samplesByTest.get(toTestKey(test)) ?? []
    samples.push(sample)
    this.#samplesByTest.set(toTestKey(test), samples)
    const tests = this.#testsBySample.get(sample.kit.code) ?? []
    tests.push(test)
    tests.sort((a, b) => (a.duty < b.duty ? -1 : 1))
    this.#testsBySample.set(sample.kit.code, tests)
  }
}

/** A cancelled kit counts for nothing and replaces nothing. */
export function isCancelled({ history }: Sample): boolean {
  return history.ending?.kind === 'cancelled'
}

/** What kits replace by an event: another sample of the same plant, the first issued where several name one kit. */
function mapReplacedByEvent(
  samples: readonly Sample[],
  byCode: ReadonlyMap<string, Sample>,
): Map<string, Sample> {
  const found = new Map<string, Sample>()
  for (const sample of [...samples].sort(compareByIssue)) {
    const { replacedBy } = sample.history
    if (replacedBy === null || isCancelled(sample) || found.has(replacedBy)) continue
    if (byCode.get(replacedBy)?.kit.plant === sample.kit.plant) found.set(replacedBy, sample)
  }
  return found
}

function toTestKey({ duty, number }: TestRef): string {
  return `${number} ${duty}`
}

function compareByIssue(a: Sample, b: Sample): number {
  return a.kit.issuedAt - b.kit.issuedAt || (a.kit.code < b.kit.code ? -1 : 1)
}

/** The purposes whose samples a duty can ask for: a duplicate or a retained sample is owed only where it replaces another. */
export const OWED_PURPOSES: readonly (typeof PURPOSES)[number][] = ['first', 're-collection']

/** Whether a duty can ask for a sample of this purpose. It is then replaced if it proves nothing. */
export function isOwed(purpose: string): boolean {
  return OWED_PURPOSES.some((one) => one === purpose)
}
