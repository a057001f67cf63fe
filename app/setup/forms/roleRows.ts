import type { RegisterDocument } from '@/lib/custody/registerDocument'

/** One thing that a person is, as a list of people has it on a line. */
export interface RoleRow {
  role: 'administrator' | 'reader' | 'plant contact' | 'laboratory desk'
  /** Code of the plant or laboratory; empty for the other two. */
  place: string
}

/** The role of a line: null where it says none, a sentence where it is none that can be. */
export function roleRowOf(role: string, place: string, register: RegisterDocument): RoleRow | string | null {
  const said = role.toLowerCase()
  if (said === '') return place === '' ? null : `role: Write what the person is at ${place}.`
  if (said === 'administrator' || said === 'reader')
    return place === '' ? { role: said, place } : `place: A ${said} has none; leave it empty.`
  if (said !== 'plant contact' && said !== 'laboratory desk')
    return `role: "${role}" is none; write administrator, reader, plant contact or laboratory desk.`
  const [places, kind] =
    said === 'plant contact' ? [register.plants, 'plant'] : [register.laboratories, 'laboratory']
  if (place === '') return `place: Write the code of the ${kind}.`
  return places.some(({ code }) => code === place)
    ? { role: said, place }
    : `place: No ${kind} of the register has the code "${place}".`
}

/** The zone of the first plant or laboratory that lines name. */
export function zoneOfPlace(rows: readonly RoleRow[], register: RegisterDocument): string | undefined {
  const first = rows.find(({ place }) => place !== '')
  const places = first?.role === 'plant contact' ? register.plants : register.laboratories
  return first && places.find(({ code }) => code === first.place)?.zone
}
