import { displayCode } from '@/lib/custody/kitCode'

/** What a mail was for: a week, or a turn of a sample that it tells of at once. */
export function occasionWords(occasion: string): string {
  const [, kind, code] = /^(at risk|lapsed|arrived) ([0-9A-Z]{8})/.exec(occasion) ?? []
  if (!kind || !code) return `week ${occasion}`
  return `at once: ${displayCode(code)} ${kind}`
}
