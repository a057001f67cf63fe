import { registerNow } from '@/lib/store/ledger/registerNow'
import { sharedPool } from '@/lib/store/scope/sharedPool'

/** A plant or laboratory that a key can be limited to. */
export interface KeyPlace {
  code: string
  name: string
}

/** The plants and laboratories of the register, by name. For administrators only. */
export async function keyPlaces(): Promise<{ plants: KeyPlace[]; laboratories: KeyPlace[] }> {
  const { plants, laboratories } = await registerNow(sharedPool())
  const byName = (places: readonly KeyPlace[]) =>
    places.map(({ code, name }) => ({ code, name })).sort((a, b) => a.name.localeCompare(b.name, 'en'))
  return { plants: byName(plants), laboratories: byName(laboratories) }
}
