import { AT_ONCE_KINDS, type AtOnceKind } from '@/lib/judgement/atOnceKinds'

/** What a mail at once is about. `turn` counts how often a sample has turned at risk; else it is null. */
export interface AtOnceOccasion {
  kind: AtOnceKind
  code: string
  turn: number | null
}

/** The occasion of a mail at once as its row has it: "lapsed 7KQ2M94Y", "at risk 7KQ2M94Y 2". */
export function atOnceOccasion({ kind, code, turn }: AtOnceOccasion): string {
  return turn === null ? `${kind} ${code}` : `${kind} ${code} ${turn}`
}

/** Reads an occasion; null where it is that of a weekly mail. */
export function readOccasion(occasion: string): AtOnceOccasion | null {
  const [, said, code, turn] = /^(.+?) ([0-9A-Z]{8})(?: (\d+))?$/.exec(occasion) ?? []
  const kind = AT_ONCE_KINDS.find((one) => one === said)
  if (!kind || !code) return null
  return { kind, code, turn: turn === undefined ? null : Number(turn) }
}
