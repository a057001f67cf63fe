import { type AdministratorReport, buildDigest, type Digest } from '@/lib/digest/weekly/digest'
import { createDigestPerson } from '../digestPerson'

/** The digest of someone for whom nothing is overdue; null if they get none. `report`: of an administrator. */
export function buildQuietDigest(
  asOf: number,
  wantsQuietLine: boolean,
  report: AdministratorReport | null,
): Digest | null {
  const isAdministrator = report !== null
  return buildDigest({
    week: '2026-W48',
    asOf,
    person: createDigestPerson({ wantsQuietLine, isAdministrator }),
    carried: [],
    work: {
      items: [],
      names: { places: new Map(), products: new Map() },
      zones: new Map(),
      setAside: new Set(),
    },
    last: null,
    seesAll: isAdministrator,
    administratorReport: report,
  })
}
