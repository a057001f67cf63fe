import type { EntryContent } from '@/lib/store/ledger/registerEntries'

/** What an entry says otherwise than before, a line for each of its members; all of it where it is new. */
export function differences(before: EntryContent | null, after: EntryContent): string[] {
  const names = [...new Set([...Object.keys(before ?? {}), ...Object.keys(after)])]
  return names.flatMap((name) => {
    const [old, fresh] = [textOf(before?.[name]), textOf(after[name])]
    if (old === fresh) return []
    return [before === null || old === '' ? `${name}: ${fresh}` : `${name}: ${old} → ${fresh || 'nothing'}`]
  })
}

/** A value as short text: lists by their members, objects by theirs. */
function textOf(value: unknown): string {
  if (value === undefined || value === null) return ''
  if (Array.isArray(value)) return value.map(textOf).join('; ')
  if (typeof value !== 'object') return String(value)
  return Object.entries(value)
    .filter(([, member]) => member !== undefined)
    .map(([name, member]) => `${name} ${textOf(member)}`)
    .sort()
    .join(', ')
}
