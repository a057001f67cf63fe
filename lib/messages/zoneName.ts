/**
 * A short name of an IANA zone to print beside a time: its place, "New York" for America/New_York. Fixed offsets are
 * written as people write them ("UTC−5"), since the sign in Etc/GMT+5 is reversed.
 */
export function formatZone(zone: string): string {
  const offset = /^Etc\/GMT([+-])(\d+)$/.exec(zone)
  if (offset) return Number(offset[2]) === 0 ? 'UTC' : `UTC${offset[1] === '+' ? '−' : '+'}${offset[2]}`
  if (/^(Etc\/)?(UTC|UCT|GMT|Zulu|Universal|Greenwich|GMT0)$/.test(zone)) return 'UTC'
  const place = zone.slice(zone.lastIndexOf('/') + 1)
  return (CURRENT_NAMES[place] ?? place).replaceAll('_', ' ')
}

/** Whether a zone is UTC or a fixed offset from it, and has no place. */
export function isUtc(zone: string): boolean {
  return formatZone(zone).startsWith('UTC')
}

/** Some browsers still name these zones by an older spelling of their place. */
const CURRENT_NAMES: Record<string, string> = {
  Calcutta: 'Kolkata',
  Katmandu: 'Kathmandu',
  Rangoon: 'Yangon',
  Saigon: 'Ho_Chi_Minh',
  Kiev: 'Kyiv',
  Faeroe: 'Faroe',
  Godthab: 'Nuuk',
}
