import { expect, test } from 'vitest'
import { buildDigest } from '@/lib/digest/weekly/digest'
import { DAY } from '@/lib/hold/zone'
import { createDigestPerson } from '../digestPerson'

const AS_OF = Date.UTC(2026, 10, 25, 12)

const keyWarnings = { shared: [], twoSided: [], narrowed: [] }

/** The digest of an administrator who wants none while nothing is overdue. */
function build(lastGoodAt: number, isAdministrator: boolean) {
  const backup = { lastGoodAt, file: '/b/one', bytes: 1, lastFault: null, scheduledSince: 0 }
  return buildDigest({
    week: '2026-W48',
    asOf: AS_OF,
    person: createDigestPerson({ wantsQuietLine: false, isAdministrator }),
    carried: [],
    work: {
      items: [],
      names: { places: new Map(), products: new Map() },
      zones: new Map(),
      setAside: new Set(),
    },
    last: null,
    seesAll: true,
    administratorReport: isAdministrator ? { inactive: [], badAddresses: [], backup, keyWarnings } : null,
  })
}

test('an administrator who wants no quiet mail gets one when the backup is overdue', () => {
  expect(build(AS_OF - DAY, true)).toBeNull()
  expect(build(AS_OF - 3 * DAY, true)?.backup?.lastGoodAt).toBe(AS_OF - 3 * DAY)
  expect(build(AS_OF - 3 * DAY, false)).toBeNull()
})
