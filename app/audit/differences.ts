import type { Translate } from '@/lib/messages/translate'

/** One value that differs between two states: its path, and the value before and after; null where it is absent. */
export interface Difference {
  place: string
  before: string | null
  after: string | null
}

/** Lists the differences between two states value by value, in the order of their paths. */
export function listDifferences(t: Translate, before: unknown, after: unknown): Difference[] {
  const [was, is] = [flattenValues(t, before), flattenValues(t, after)]
  const places = [...new Set([...was.keys(), ...is.keys()])]
  return places
    .map((place) => ({ place, before: was.get(place) ?? null, after: is.get(place) ?? null }))
    .filter((one) => one.before !== one.after)
}

/** Every plain value by its path: "limits, cut to chamber, amount". */
function flattenValues(t: Translate, state: unknown): Map<string, string> {
  const values = new Map<string, string>()
  const walk = (value: unknown, places: readonly string[]) => {
    if (value === null || value === undefined) return
    if (typeof value !== 'object') {
      values.set(places.join(', '), String(value))
    } else if (Array.isArray(value)) {
      if (value.every((one) => one === null || typeof one !== 'object')) {
        values.set(places.join(', '), value.length === 0 ? t('audit.entry.emptyList') : value.join(', '))
      } else
        for (const [index, one] of value.entries())
          walk(one, [...places, findEntryName(one) ?? String(index + 1)])
    } else for (const [key, one] of Object.entries(value)) walk(one, [...places, key])
  }
  walk(state, [])
  return values
}

/** The code or name of a list entry, which still identifies it when the list is reordered. */
function findEntryName(entry: unknown): string | null {
  const { code, name } = (entry ?? {}) as { code?: unknown; name?: unknown }
  return typeof code === 'string' ? code : typeof name === 'string' ? name : null
}
