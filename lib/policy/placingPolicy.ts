import type { PlacingPolicy } from '@/lib/custody/claims'
import type { Kit, Register } from '@/lib/custody/register'
import { mayReport, mayTakeOut } from './mayReport'

/** The policy by which events are placed. `kits`: every known kit that one of the events names, by its code. */
export function getPlacingPolicy(kits: ReadonlyMap<string, Kit>, register: Register): PlacingPolicy {
  return {
    mayReport({ reporter }, kind, sample, takenOut) {
      const ends = (sample !== null && kits.get(sample)) || null
      return takenOut ? mayTakeOut(reporter, takenOut, ends) : mayReport(reporter, kind, ends)
    },
    getMaker(sample) {
      const plant = kits.get(sample)?.plant ?? ''
      const maker = register.plants.get(plant)?.maker
      return maker === undefined ? `plant ${plant}` : `maker ${maker}`
    },
  }
}
