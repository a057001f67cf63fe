import type { Clock } from '@/lib/hold/clock'
import type { Milestone } from '@/lib/hold/milestone'
import type { Standing } from '@/lib/hold/standing'

/** One sample as a list shows it. Instants in ms UTC. */
export interface SampleRow {
  code: string
  plant: string
  laboratory: string
  service: string | null
  product: string | null
  productName: string | null
  lot: string | null
  protocol: string | null
  purpose: string
  issuedAt: number
  /** The last milestone in the order of life that was reported; null while the kit is only issued. */
  stage: Milestone | null
  stageAt: number | null
  standing: Standing
  isSettled: boolean
  settledAt: number | null
  /** lost, returned, rejected or cancelled, where it ended early. */
  ending: string | null
  /** The clock that binds it: running or overrun. Null where none does: then there is no strip, only words. */
  binding: Clock | null
  /** The first clock that lapsed, stopped or not. */
  lapsed: Clock | null
  /** Milestones reported so far, in the order of life, by their earliest reading. */
  milestones: { milestone: Milestone; at: number }[]
  /** Milestones whose time is missing though a later one was reported. */
  asksFor: Milestone[]
  /** Kinds of what a person should look at in its events. */
  flags: string[]
}
