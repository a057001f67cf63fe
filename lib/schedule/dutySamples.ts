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

  constructor(samples: readonly Sample[], register: Register) {
    const byCode = new Map(samples.map((sample) => [sample.kit.code, sample]))
    const dutiesByProduct = new Map<string, { duty: DutyContent; occurrences: Occurrences; zone: string }[]>()
    for (const duty of register.duties.values()) {
      const tested = resolveTestedProduct(duty, register)
      if (tested === null) continue
      const duties = dutiesByProduct.get(tested.product) ?? []
      duties.push({ duty, occurrences: new Occurrences(duty, register), zone: tested.zone })
      dutiesByProduct.set(tested.product, duties)
    }
    const ordered = samples.filter((one) => isOwed(one.kit.purpose) && !isCancelled(one)).sort(compareByIssue)
    for (const sample of ordered) {
      const product = register.findTestedProduct(sample.kit.plant, sample.product)
      if (product === null) continue
      const first = findOriginal(sample, byCode)
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

/** The first sample of a chain of re-collections, as far as it is known. */
function findOriginal(sample: Sample, byCode: ReadonlyMap<string, Sample>): Sample {
  const seen = new Set<string>()
  let first = sample
  while (first.kit.replaces !== null && !seen.has(first.kit.code)) {
    seen.add(first.kit.code)
    const before = byCode.get(first.kit.replaces)
    if (!before) return first
    first = before
  }
  return first
}

function toTestKey({ duty, number }: TestRef): string {
  return `${number} ${duty}`
}

function compareByIssue(a: Sample, b: Sample): number {
  return a.kit.issuedAt - b.kit.issuedAt || (a.kit.code < b.kit.code ? -1 : 1)
}

/** The purposes whose samples a duty can ask for: a duplicate or a retained sample is never owed. */
export const OWED_PURPOSES: readonly (typeof PURPOSES)[number][] = ['first', 're-collection']

/** Whether a duty can ask for a sample of this purpose. It is then replaced if it proves nothing. */
export function isOwed(purpose: string): boolean {
  return OWED_PURPOSES.some((one) => one === purpose)
}
