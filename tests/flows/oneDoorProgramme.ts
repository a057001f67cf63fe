import { generateKitCode } from '@/lib/custody/kitCode'
import { DAY, HOUR } from '@/lib/hold/zone'
import { makeRandom } from '@/tests/bench/manyEvents'
import { checkedRegister, smallRegister } from '@/tests/cases/smallProgramme'

export const PLANTS = ['PL1', 'PL2'] as const
export const LABORATORIES = ['LAB', 'LAB2'] as const
/** Where a sample is cut and where it is tested; each plant is of a maker of its own. */
export const ENDS = PLANTS.flatMap((plant) => LABORATORIES.map((laboratory) => ({ plant, laboratory })))

const [laboratory] = smallRegister().laboratories as Record<string, unknown>[]

/** A register of two makers and two laboratories with kits of every pair of ends: `count` of each, by their codes. */
export function makeTwoByTwo(count: number, seed: number) {
  const random = makeRandom(seed)
  const issuedAt = new Date(Date.now() - 30 * DAY).toISOString()
  const kits = ENDS.flatMap((ends) =>
    Array.from({ length: count }, () => ({
      ...ends,
      code: generateKitCode(random),
      product: ends.plant === 'PL1' ? 'FELT' : 'CORK',
      service: 'road',
      issuedAt,
    })),
  )
  const register = checkedRegister({
    laboratories: [laboratory, { ...laboratory, code: 'LAB2', name: 'Another laboratory' }],
    kits,
  })
  return { register, kits, nextCode: () => generateKitCode(random) }
}

/** RFC 3339, so many hours before now. */
export const hoursAgo = (hours: number) => new Date(Date.now() - hours * HOUR).toISOString()

/** What some kinds must have on the wire. */
export const WIRE_FACTS: Partial<Record<string, Record<string, unknown>>> = {
  extended: {
    limit: 'cut to chamber',
    until: new Date(Date.now() + 5 * DAY).toISOString(),
    approvedBy: 'Someone',
    reason: 'a reason',
  },
}
