import type { Sample } from '@/lib/custody/sample'
import { isCancelled } from './dutySamples'
import { isOwed } from './isOwed'
import type { Programme } from './owed'
import { failureOf } from './progress'
import type { Missed } from './sampleOverdues'

/**
 * The samples that have to be cut again and for which nothing was issued: no kit replaces them, by the register or by
 * an event. It is asked no more once a sample of the same product that was issued afterwards is reported and holds.
 */
export function recollectionsOverdue(
  samples: readonly Sample[],
  { now, register }: Programme,
): { sample: Sample; missed: Missed }[] {
  const cancelledAt = new Map(samples.filter(isCancelled).map(({ kit }) => [kit.code, kit.plant]))
  const replaced = new Set(
    samples.flatMap((one) => (one.kit.replaces === null || isCancelled(one) ? [] : [one.kit.replaces])),
  )
  const lastGood = new Map<string, number>()
  for (const sample of samples) {
    const { kit, history } = sample
    const product = register.productTestedAt(kit.plant, sample.product)?.code
    if (product === undefined || !isOwed(kit.purpose) || !history.milestones.has('reported')) continue
    if (failureOf(sample, now) !== null) continue
    lastGood.set(product, Math.max(kit.issuedAt, lastGood.get(product) ?? Number.NEGATIVE_INFINITY))
  }
  return samples.flatMap((sample) => {
    const { kit, history } = sample
    if (!isOwed(kit.purpose) || replaced.has(kit.code)) return []
    // Whatever kit an event names: of another plant's it must not tell whether it is there.
    if (history.replacedBy !== null && cancelledAt.get(history.replacedBy) !== kit.plant) return []
    const failure = failureOf(sample, now)
    if (failure === null || failure.at > now) return []
    // A product of another maker counts as none, as above.
    const product = register.productTestedAt(kit.plant, sample.product)?.code ?? ''
    if ((lastGood.get(product) ?? Number.NEGATIVE_INFINITY) > failure.at) return []
    const missed: Missed = {
      kind: 'lapsed with no re-collection',
      sinceAt: failure.at,
      more: { reason: failure.reason },
    }
    return [{ sample, missed }]
  })
}
