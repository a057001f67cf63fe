import type { OpenStanding } from '@/lib/hold/standing'
import type { BatchTarget } from './batches'
import type { Piece } from './journey'
import type { Trouble } from './troubles/trouble'

/** A sample that the board must show on any day, and how many days ago it may have been cut. */
export interface SampleTarget extends BatchTarget {
  /** Before anything goes wrong with it. Default: any. */
  standing?: OpenStanding
  daysAgo: [least: number, most: number]
  protocol?: string
  /** The largest share of the clock's time that may be used; 1 is the due instant. */
  mostUsed?: number
  /** Default: first. */
  purpose?: Piece['purpose']
  /** Whether a piece of the same lot is retained, and still good. */
  hasRetained?: boolean
  /** What goes wrong with it then. */
  apply?: Trouble['apply']
}
