import type { DutyContent } from '@/lib/custody/owedContents'
import type { Register } from '@/lib/custody/register'

/** The product that is cut for a duty: its own, or the one member of its family that is tested for all. */
export function testedProduct(duty: DutyContent, register: Register): string | null {
  if (duty.product !== undefined) return duty.product
  return register.families.get(duty.family ?? '')?.tested ?? null
}

/** Which product is cut for a duty, the plant that makes it, and the zone of the laboratory; null where one is not in the register. */
export function testedFor(
  duty: DutyContent,
  register: Register,
): { product: string; plant: string; zone: string } | null {
  const product = testedProduct(duty, register)
  const plant = register.products.get(product ?? '')?.plant
  const zone = register.laboratories.get(duty.laboratory)?.zone
  if (product === null || plant === undefined || zone === undefined || !register.plants.has(plant))
    return null
  return { product, plant, zone }
}
