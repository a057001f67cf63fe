'use client'

import type { Board } from '@/lib/store'
import { capitalised, countOf } from '../words/numberWords'
import styles from './BoardBands.module.css'
import { EmptyBoard } from './EmptyBoard'
import { PlantBand } from './PlantBand'
import { StripAxis } from './StripAxis'
import { StripLegend } from './StripLegend'
import { useHeld } from './useHeld'
import { useSteadyBoard } from './useSteadyBoard'

/** The bands of a board under one axis. What changes while someone points into them waits to be shown. */
export function BoardBands({ board, address, now }: { board: Board; address: string; now: number }) {
  const { isHeld, handlers } = useHeld()
  const { bands, waiting, show } = useSteadyBoard(board, address, isHeld)
  if (board.bands.length === 0) return <EmptyBoard board={board} isFiltered={address !== ''} />
  return (
    <>
      <StripLegend />
      <div className={styles.top}>
        <div className={styles.change} role="status">
          {waiting > 0 ? (
            <button type="button" onClick={show}>
              {capitalised(countOf(waiting, 'change'))}: show
            </button>
          ) : (
            address !== '' && <Matches board={board} />
          )}
        </div>
        <div className={styles.axis}>
          <StripAxis />
        </div>
      </div>
      <div {...handlers}>
        {bands.map((band) => (
          <PlantBand key={band.plant.code} band={band} now={now} />
        ))}
      </div>
      {board.notShown > 0 && (
        <p className={styles.more}>
          {capitalised(countOf(board.notShown, 'more sample is', 'more samples are'))} under way that press
          less. Search or filter to see them.
        </p>
      )}
    </>
  )
}

function Matches({ board }: { board: Board }) {
  const count = board.bands.reduce((sum, band) => sum + band.rows.length, board.notShown)
  return <>{capitalised(countOf(count, 'sample fits', 'samples fit'))}</>
}
