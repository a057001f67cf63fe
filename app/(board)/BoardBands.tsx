'use client'

import { capitalised, countOf, numberWords } from '@/app/ui/words/numberWords'
import type { Board } from '@/lib/store/read/board/board'
import { BandsTop } from './BandsTop'
import { EmptyBoard } from './EmptyBoard'
import { PlantBand } from './PlantBand'
import { useSteadyBands } from './useSteadyBands'

/** The bands of a board under one axis. What changes while someone points into them waits to be shown. */
export function BoardBands({
  board,
  address,
  isReading,
  now,
}: {
  board: Board
  address: string
  isReading: boolean
  now: number
}) {
  const { bands, waiting, onShow, handlers } = useSteadyBands(board, bandsOf, address)
  if (board.bands.length === 0) return <EmptyBoard board={board} isFiltered={address !== ''} />
  return (
    <>
      <div {...handlers}>
        <BandsTop waiting={waiting} onShow={onShow}>
          {isReading ? 'Reading …' : address !== '' && matchWords(board)}
        </BandsTop>
        {bands.map((band) => (
          <PlantBand key={band.plant.code} band={band} now={now} />
        ))}
      </div>
      {board.notShown > 0 && (
        <p>
          {capitalised(countOf(board.notShown, 'more sample is', 'more samples are'))} under way that press
          less. Search or filter to see them.
        </p>
      )}
    </>
  )
}

const bandsOf = (board: Board) => board.bands

/** How many samples a filter finds: "23 under way and the last 100 settled". */
function matchWords({ bands, notShown }: Board): string {
  const rows = bands.flatMap((band) => band.rows)
  const settled = rows.filter((row) => row.isSettled).length
  const count = rows.length - settled + notShown
  const open = count === 0 ? 'None under way' : capitalised(`${numberWords(count)} under way`)
  return settled === 0
    ? open
    : `${open} and ${settled < MOST_SETTLED ? '' : 'the last '}${numberWords(settled)} settled`
}

/** A search finds no more settled samples than this. */
const MOST_SETTLED = 100
