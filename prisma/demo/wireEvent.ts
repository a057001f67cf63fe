import type { Condition } from '@/lib/custody/condition'

/** An event as it is sent, with keys in this order and absent keys left out. */
export interface WireEvent {
  source: string
  id: string
  sample?: string
  kind: string
  at: string
  reportedAt?: string
  zone?: string
  place?: string
  service?: string
  waybill?: string
  product?: string
  lot?: string
  corrects?: string
  facts?: Facts
}

export type Facts = Record<string, string | number | boolean | readonly string[] | Condition>
