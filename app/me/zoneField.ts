import { isZone } from '@/lib/hold/zone'

/** The IANA zone that a text names, in the tz database's spelling whatever its case; undefined if there is none. */
export function parseZone(text: string): string | undefined {
  if (!isZone(text)) return undefined
  const folded = text.toLowerCase()
  return Intl.supportedValuesOf('timeZone').find((zone) => zone.toLowerCase() === folded) ?? text
}
