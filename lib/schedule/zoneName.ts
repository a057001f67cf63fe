/**
 * A short name of an IANA zone to print beside a time: its place, "New York" for America/New_York. Fixed offsets
 * are written as people write them, since Etc/GMT+5 lies west of Greenwich.
 */
export function formatZone(zone: string): string {
  const offset = /^Etc\/GMT([+-])(\d+)$/.exec(zone)
  if (offset) return Number(offset[2]) === 0 ? 'UTC' : `UTC${offset[1] === '+' ? '−' : '+'}${offset[2]}`
  if (/^(Etc\/)?(UTC|UCT|GMT|Zulu|Universal|Greenwich|GMT0)$/.test(zone)) return 'UTC'
  const place = zone.slice(zone.lastIndexOf('/') + 1)
  return (CURRENT_NAMES[place] ?? place).replaceAll('_', ' ')
}

/** Browsers still name some zones by an older spelling of their place; one place has one name on a page. */
const CURRENT_NAMES: Record<string, string> = {
  Calcutta: 'Kolkata',
  Katmandu: 'Kathmandu',
  Rangoon: 'Yangon',
  Saigon: 'Ho_Chi_Minh',
  Kiev: 'Kyiv',
  Faeroe: 'Faroe',
  Godthab: 'Nuuk',
}
