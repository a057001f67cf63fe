import { ALERT_KINDS, type AlertKind } from '@/lib/judgement/alertKinds'

/** What a mail at once is about. `turn` counts how often a sample has turned at risk; else it is null. */
export interface AlertOccasion {
  kind: AlertKind
  code: string
  turn: number | null
}

/** The occasion of a mail at once as its row has it: "lapsed 7KQ2M94Y", "at risk 7KQ2M94Y 2". */
export function formatOccasion({ kind, code, turn }: AlertOccasion): string {
  return turn === null ? `${kind} ${code}` : `${kind} ${code} ${turn}`
}

/** Reads an occasion; null where it is that of a weekly mail. */
export function parseOccasion(occasion: string): AlertOccasion | null {
  const [, said, code, turn] = /^(.+?) ([0-9A-Z]{8})(?: (\d+))?$/.exec(occasion) ?? []
  const kind = ALERT_KINDS.find((one) => one === said)
  if (!kind || !code) return null
  return { kind, code, turn: turn === undefined ? null : Number(turn) }
}
