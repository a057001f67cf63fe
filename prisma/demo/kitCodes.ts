import { checkCharacter } from '@/lib/custody/kitCode'
import type { RandomStream } from './randomStream'

/** The alphabet of the seven characters, without 0, O, 1 and I, which are easily confused. */
const LETTERS = '23456789ABCDEFGHJKLMNPQRSTUVWXYZ'

/** Issues kit codes, each once. */
export interface KitCodes {
  issue(): string
  /**
   * A valid code that was never issued, which differs from `code` in one of the seven characters (and so in its check
   * character).
   */
  issueMisread(code: string): string
}

export function makeKitCodes(random: RandomStream): KitCodes {
  const taken = new Set<string>()
  const seven = () => Array.from({ length: 7 }, () => random.pick([...LETTERS])).join('')
  const firstFree = (propose: () => string): string => {
    for (;;) {
      const proposed = propose()
      const code = proposed + checkCharacter(proposed)
      if (taken.has(code)) continue
      taken.add(code)
      return code
    }
  }
  return {
    issue: () => firstFree(seven),
    issueMisread: (code) =>
      firstFree(() => {
        const place = random.int(0, 6)
        return code.slice(0, place) + random.pick([...LETTERS]) + code.slice(place + 1, 7)
      }),
  }
}
