import type { Register } from '@/lib/custody/register'
import type { Sample } from '@/lib/custody/sample'
import { failureOf, unruledOf } from './progress'

/** What tells of a sample whether it can ask for something, at whatever time that is asked. */
export interface AskingFacts {
  /** The product that it counts for; null where it is none of its plant's. */
  made: string | null
  /** Since when (ms UTC) it has to be cut again, as far as that follows from what was reported; null where it does not. */
  failedAt: number | null
  /** A deviation of it waits for a ruling, or will. */
  isUnruled: boolean
}

/** The facts of a sample, for whoever has to find it again by them. A clock that runs out unreported is in none of them. */
export function askingFacts(sample: Sample, register: Register): AskingFacts {
  return {
    made: register.productTestedAt(sample.kit.plant, sample.product)?.code ?? null,
    // Before all time no running clock has run out, so that only what was reported counts.
    failedAt: failureOf(sample, Number.NEGATIVE_INFINITY)?.at ?? null,
    isUnruled: unruledOf(sample, Number.POSITIVE_INFINITY).length > 0,
  }
}
