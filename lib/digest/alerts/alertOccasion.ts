import { ALERT_KINDS, type AlertKind } from '@/lib/judgement/alertKinds'

/** What an alert is about. `turn` counts how often the sample has turned at risk; null for other kinds. */
export interface AlertOccasion {
  kind: AlertKind
  code: string
  turn: number | null
}

/** As stored: "lapsed 7KQ2M94Y", "at risk 7KQ2M94Y 2". */
export function formatOccasion({ kind, code, turn }: AlertOccasion): string {
  return turn === null ? `${kind} ${code}` : `${kind} ${code} ${turn}`
}

/** Null if the occasion is a week. */
export function parseOccasion(occasion: string): AlertOccasion | null {
  const [, name, code, turn] = /^(.+?) ([0-9A-Z]{8})(?: (\d+))?$/.exec(occasion) ?? []
  const kind = ALERT_KINDS.find((one) => one === name)
  if (!kind || !code) return null
  return { kind, code, turn: turn === undefined ? null : Number(turn) }
}
