import type { PlacedEvent } from '@/lib/custody/placing'

/** Facts as sent, a short text each: "seal intact: yes". */
export function factWords(facts: Record<string, unknown> | null): string[] {
  return Object.entries(facts ?? {}).map(([name, value]) => `${name}: ${valueWords(value)}`)
}

function valueWords(value: unknown): string {
  if (typeof value === 'boolean') return value ? 'yes' : 'no'
  return typeof value === 'string' || typeof value === 'number' ? String(value) : JSON.stringify(value)
}

/** How an event bears on the sample beyond what it says: not yet, by its consignment, in a loop. */
export function bearingWords(placed: PlacedEvent): string[] {
  return [
    placed.isAhead ? 'ahead of now: counts when its time comes' : '',
    placed.isByConsignment ? 'speaks of the consignment it travels in' : '',
    placed.isLooping ? 'in a loop of corrections, which corrects nothing' : '',
  ].filter((note) => note !== '')
}
