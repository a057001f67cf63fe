import { NO_ROLES } from '@/lib/policy/personRoles'
import type { DigestPerson } from '@/lib/store/people/digestPeople'

/** A person with default preferences. */
export function createDigestPerson(more: Partial<DigestPerson> = {}): DigestPerson {
  return {
    id: 'p',
    email: 'p@test.invalid',
    name: 'P',
    zone: 'UTC',
    knownSince: 0,
    ...NO_ROLES,
    language: 'en-GB',
    isWanted: true,
    wantsQuietLine: true,
    mailbox: null,
    standIn: null,
    tokenSerial: 0,
    alerts: {},
    alertsAreStopped: false,
    alertsSerial: 0,
    ...more,
  }
}
