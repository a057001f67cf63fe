import type { Translate } from '@/lib/messages/translate'
/** One thing that differs between two states: where it stands, and its value before and after; null where it was not. */
export interface Difference {
  place: string
  before: string | null
  after: string | null
}

/** What differs between two states of something, value by value, in the order in which they stand. */
export function listDifferences(t: Translate, before: unknown, after: unknown): Difference[] {
  const [was, is] = [flattenValues(before), flattenValues(after)]
  const places = [...new Set([...was.keys(), ...is.keys()])]
  return places
    .map((place) => ({ place, before: was.get(place) ?? null, after: is.get(place) ?? null }))
    .filter((one) => one.before !== one.after)
}

/** Every plain value within, by where it stands: "limits, cut to chamber, amount". */
function flattenValues(state: unknown): Map<string, string> {
  const values = new Map<string, string>()
  const walk = (value: unknown, places: readonly string[]) => {
    if (value === null || value === undefined) return
    if (typeof value !== 'object') {
      values.set(places.join(', '), String(value))
    } else if (Array.isArray(value)) {
      if (value.every((one) => one === null || typeof one !== 'object')) {
        values.set(places.join(', '), value.length === 0 ? 'none' : value.join(', '))
      } else
        for (const [index, one] of value.entries())
          walk(one, [...places, findEntryName(one) ?? String(index + 1)])
    } else for (const [key, one] of Object.entries(value)) walk(one, [...places, key])
  }
  walk(state, [])
  return values
}

/** What an entry of a list calls itself, so that it is found again where the list is in another order. */
function findEntryName(entry: unknown): string | null {
  const { code, name } = (entry ?? {}) as { code?: unknown; name?: unknown }
  return typeof code === 'string' ? code : typeof name === 'string' ? name : null
}
