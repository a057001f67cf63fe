import type { Roles } from '@/lib/access/principal'
import { capitalised, listed } from './numberWords'

/** What a person is, as a sentence: "Administrator, and contact of the plant OMB1." */
export function roleWords({ isAdministrator, isReader, plants, laboratories }: Roles): string {
  const parts = [
    ...(isAdministrator ? ['administrator'] : []),
    ...(plants.length > 0
      ? [`contact of the ${plants.length === 1 ? 'plant' : 'plants'} ${listed(plants)}`]
      : []),
    ...(laboratories.length > 0
      ? [
          `at the desk of the ${laboratories.length === 1 ? 'laboratory' : 'laboratories'} ${listed(laboratories)}`,
        ]
      : []),
    ...(isReader ? ['reader of the programme’s figures'] : []),
  ]
  return parts.length === 0 ? 'Nothing in the programme yet.' : `${capitalised(parts.join('; '))}.`
}

/** Whether a person is nothing in the programme yet, and so sees nothing of it. */
export function hasNoRole({ isAdministrator, isReader, plants, laboratories }: Roles): boolean {
  return !isAdministrator && !isReader && plants.length === 0 && laboratories.length === 0
}
