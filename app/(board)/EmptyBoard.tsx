import { Link } from '@/app/ui/Link'
import type { Board } from '@/lib/store/read/board/board'
import { HowToSend } from './HowToSend'

/** Why a board is empty, and what to do about it. */
export function EmptyBoard({ board, isFiltered }: { board: Board; isFiltered: boolean }) {
  if (isFiltered)
    return (
      <p>
        No sample fits this search. <a href="/">Clear it</a> to see all that are under way.
      </p>
    )
  if (board.hasSettled)
    return <p>Every sample is settled: nothing is under way, nothing waits. A search still finds what was.</p>
  return (
    <>
      <p>
        An administrator enters the programme on <Link href="/setup">the pages of the set-up</Link>; a sample
        is on this board as soon as its kit is issued.
      </p>
      <HowToSend />
    </>
  )
}
