import { instantWords } from '@/app/ui/words/instantWords'
import type { SampleMove } from '@/lib/store/register/sampleMoves'

type Due = SampleMove['dues'][number]

/** How one due moves: "cut to dock: due Mon 9 Nov 23:59 New York → Tue 10 Nov 23:59 New York". */
export function dueMoveWords({ limit, beforeAt, afterAt }: Due, zone: string, now: number): string {
  const when = (at: number | null) => (at === null ? 'none' : instantWords(at, zone, now))
  return `${limit}: due ${when(beforeAt)} → ${when(afterAt)}`
}

/** How a sample's standing changes: "sound → tight", or that it stays. */
export function standingMoveWords({ before, after }: Pick<SampleMove, 'before' | 'after'>): string {
  return before === after ? `stays ${after}` : `${before} → ${after}`
}
