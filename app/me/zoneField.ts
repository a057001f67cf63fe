import { isZone } from '@/lib/hold/zone'

/** The IANA zone that a text names, spelt as the tz database does whatever the case; undefined where it names none. */
export function parseZone(text: string): string | undefined {
  if (!isZone(text)) return undefined
  const folded = text.toLowerCase()
  return Intl.supportedValuesOf('timeZone').find((zone) => zone.toLowerCase() === folded) ?? text
}
