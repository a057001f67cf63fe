import { createHash } from 'node:crypto'
import { ALERT_KINDS, type AlertKind } from '@/lib/judgement/alertKinds'

/** What an alert is about. */
export interface AlertOccasion {
  kind: AlertKind
  code: string
  /**
   * Which of several of its kind about the sample: how often it has become at risk, or the hash of the finding's key. Null for kinds
   * of which there is one.
   */
  instance: string | null
}

/** As stored: "lapsed 7KQ2M94Y", "at risk 7KQ2M94Y 2", "hold 7KQ2M94Y 0f3a…". */
export function formatOccasion({ kind, code, instance }: AlertOccasion): string {
  return instance === null ? `${kind} ${code}` : `${kind} ${code} ${instance}`
}

/** Null if the occasion is a week. */
export function parseOccasion(occasion: string): AlertOccasion | null {
  const [, name, code, instance] = /^(.+?) ([0-9A-Z]{8})(?: ([0-9a-f]+))?$/.exec(occasion) ?? []
  const kind = ALERT_KINDS.find((one) => one === name)
  if (!kind || !code) return null
  return { kind, code, instance: instance ?? null }
}

/** A finding's key may have hundreds of characters of any kind, and an occasion becomes part of a Message-ID. */
export function hashFinding(key: string): string {
  return createHash('sha256').update(key).digest('hex').slice(0, 20)
}
