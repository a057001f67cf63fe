import type { NamedReporter } from '@/lib/custody/event'
import type { Side } from '@/lib/custody/eventKinds'

/** The reporter of a key of one side, with that side's kinds. */
export function createKeyReporter(side: Side, rights: Partial<NamedReporter> = {}): NamedReporter {
  return { by: `key of a ${side}`, sides: [side], kinds: null, plants: null, laboratories: null, ...rights }
}

/** The reporter of a plant's key. */
export const atPlant = (plant: string, by = `key of ${plant}`) =>
  createKeyReporter('plant', { by, plants: [plant] })

/** The reporter of a laboratory's key. */
export const atLaboratory = (laboratory: string, by = `key of ${laboratory}`) =>
  createKeyReporter('laboratory', { by, laboratories: [laboratory] })
