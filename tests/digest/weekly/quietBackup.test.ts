import { expect, test } from 'vitest'
import { DAY } from '@/lib/hold/zone'
import { buildQuietDigest } from './quietDigest'

const AS_OF = Date.UTC(2026, 10, 25, 12)

const keyWarnings = { shared: [], twoSided: [], narrowed: [] }

/** The digest of an administrator who wants none while nothing is overdue. */
function build(lastGoodAt: number, isAdministrator: boolean) {
  const backup = { lastGoodAt, file: '/b/one', bytes: 1, lastFault: null, scheduledSince: 0 }
  const report = { inactive: [], badAddresses: [], backup, keyWarnings }
  return buildQuietDigest(AS_OF, false, isAdministrator ? report : null)
}

test('an administrator who wants no quiet mail gets one when the backup is overdue', () => {
  expect(build(AS_OF - DAY, true)).toBeNull()
  expect(build(AS_OF - 3 * DAY, true)?.backup?.lastGoodAt).toBe(AS_OF - 3 * DAY)
  expect(build(AS_OF - 3 * DAY, false)).toBeNull()
})
