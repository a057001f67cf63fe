import type { DutyContent } from '@/lib/custody/owedContents'
import type { Register } from '@/lib/custody/register'
import type { PURPOSES } from '@/lib/custody/registerDocument'
import type { Sample } from '@/lib/custody/sample'
import { localDay } from '@/lib/hold/zone'
import { Occurrences, testedFor } from './occurrences'

/** One test of one duty, by the duty's code and the test's number. */
export interface TestOf {
  duty: string
  number: number
}

/** Which samples count for which test: kits of a duty's product by the day of their issue, re-collections with what they replace. */
export class DutySamples {
  readonly #tests = new Map<string, Sample[]>()
  readonly #testsOf = new Map<string, TestOf[]>()

  constructor(samples: readonly Sample[], register: Register) {
    const byCode = new Map(samples.map((sample) => [sample.kit.code, sample]))
    const dutiesOf = new Map<string, { duty: DutyContent; occurrences: Occurrences; zone: string }[]>()
    for (const duty of register.duties.values()) {
      const tested = testedFor(duty, register)
      if (tested === null) continue
      const of = dutiesOf.get(tested.product) ?? []
      of.push({ duty, occurrences: new Occurrences(duty, register), zone: tested.zone })
      dutiesOf.set(tested.product, of)
    }
    const ordered = samples.filter((one) => isOwed(one.kit.purpose) && !isCancelled(one)).sort(byIssue)
    for (const sample of ordered) {
      const made = register.productTestedAt(sample.kit.plant, sample.product)
      if (made === null) continue
      const first = replacedFirst(sample, byCode)
      for (const { duty, occurrences, zone } of dutiesOf.get(made.code) ?? []) {
        if (duty.laboratory !== sample.kit.laboratory) continue
        const test = occurrences.openOn(localDay(first.kit.issuedAt, zone))
        if (test) this.#add(sample, { duty: duty.code, number: test.number })
      }
    }
  }

  /** The samples that count for a test, by issue. */
  of(test: TestOf): readonly Sample[] {
    return this.#tests.get(keyOf(test)) ?? []
  }

  /** The tests for which a sample counts, by duty. */
  testsOf(code: string): readonly TestOf[] {
    return this.#testsOf.get(code) ?? []
  }

  #add(sample: Sample, test: TestOf): void {
    const samples = this.#tests.get(keyOf(test)) ?? []
    samples.push(sample)
    this.#tests.set(keyOf(test), samples)
    const tests = this.#testsOf.get(sample.kit.code) ?? []
    tests.push(test)
    tests.sort((a, b) => (a.duty < b.duty ? -1 : 1))
    this.#testsOf.set(sample.kit.code, tests)
  }
}

/** Whether a kit was given up: it counts for nothing, and replaces nothing. */
export function isCancelled({ history }: Sample): boolean {
  return history.ending?.kind === 'cancelled'
}

/** The sample that a line of re-collections began with, as far as it is known. */
function replacedFirst(sample: Sample, byCode: ReadonlyMap<string, Sample>): Sample {
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

function keyOf({ duty, number }: TestOf): string {
  return `${number} ${duty}`
}

function byIssue(a: Sample, b: Sample): number {
  return a.kit.issuedAt - b.kit.issuedAt || (a.kit.code < b.kit.code ? -1 : 1)
}

/** The purposes of kits whose samples can be what a duty asks for: a duplicate or a retained one is never owed. */
export const OWED_PURPOSES: readonly (typeof PURPOSES)[number][] = ['first', 're-collection']

/** Whether a sample of a purpose can be what a duty asks for, and is replaced where it proves nothing. */
export function isOwed(purpose: string): boolean {
  return OWED_PURPOSES.some((one) => one === purpose)
}
