'use client'

import type { Board } from '@/lib/store'
import { capitalised, countOf } from '../words/numberWords'
import { BandsTop } from './BandsTop'
import { EmptyBoard } from './EmptyBoard'
import { PlantBand } from './PlantBand'
import { useHeld } from './useHeld'
import { useSteadyBands } from './useSteadyBands'

/** The bands of a board under one axis. What changes while someone points into them waits to be shown. */
export function BoardBands({ board, address, now }: { board: Board; address: string; now: number }) {
  const { isHeld, handlers } = useHeld()
  const { bands, waiting, show } = useSteadyBands(board, bandsOf, address, isHeld)
  if (board.bands.length === 0) return <EmptyBoard board={board} isFiltered={address !== ''} />
  return (
    <>
      <BandsTop waiting={waiting} onShow={show}>
        {address !== '' && matchWords(board)}
      </BandsTop>
      <div {...handlers}>
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

function matchWords(board: Board): string {
  const count = board.bands.reduce((sum, band) => sum + band.rows.length, board.notShown)
  return `${capitalised(countOf(count, 'sample fits', 'samples fit'))}`
}
