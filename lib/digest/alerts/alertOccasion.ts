import { ALERT_KINDS, type AlertKind } from '@/lib/judgement/alertKinds'

/** What an alert is about. `count`: how often the sample has become at risk; null for other kinds. */
export interface AlertOccasion {
  kind: AlertKind
  code: string
  count: number | null
}

/** As stored: "lapsed 7KQ2M94Y", "at risk 7KQ2M94Y 2". */
export function formatOccasion({ kind, code, count }: AlertOccasion): string {
  return count === null ? `${kind} ${code}` : `${kind} ${code} ${count}`
}

/** Null if the occasion is a week. */
export function parseOccasion(occasion: string): AlertOccasion | null {
  const [, name, code, count] = /^(.+?) ([0-9A-Z]{8})(?: (\d+))?$/.exec(occasion) ?? []
  const kind = ALERT_KINDS.find((one) => one === name)
  if (!kind || !code) return null
  return { kind, code, count: count === undefined ? null : Number(count) }
}
