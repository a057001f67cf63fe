'use client'

import { keepPreviousData, useQuery } from '@tanstack/react-query'
import { useSearchParams } from 'next/navigation'
import { useState } from 'react'
import { askServer } from '@/app/ui/askServer'
import { LostServer } from '@/app/ui/LostServer'
import { useLostSince } from '@/app/ui/useLostSince'
import { useServerNow } from '@/app/ui/useServerNow'
import { useViewerZone } from '@/app/ui/useViewerZone'
import type { Board, BoardFilter } from '@/lib/store/read/board/board'
import { BoardBands } from './BoardBands'
import { BoardFilters } from './BoardFilters'
import { BoardHead } from './BoardHead'
import { boardAddress, filterNamed } from './boardAddress'
import styles from './LiveBoard.module.css'
import { StripLegend } from './StripLegend'
import { useSampleKeys } from './useSampleKeys'

/** The board as it was first painted, then kept up to date. The filter lives in the address. */
export function LiveBoard({ initial, initialFilter }: { initial: Board; initialFilter: BoardFilter }) {
  const params = useSearchParams()
  const filter = filterNamed((key) => params.get(key))
  const address = boardAddress(filter)
  const { board, shownAddress, isLost } = useBoard(initial, boardAddress(initialFilter), address)
  const zone = useViewerZone()
  const now = useServerNow(board.asOf)
  const lostSinceAt = useLostSince(isLost, now)
  useSampleKeys()
  return (
    <>
      <BoardHead board={board} zone={zone} now={now} isFiltered={shownAddress !== ''} />
      {(board.counts.open > 0 || board.hasSettled) && (
        <div className={styles.tools}>
          <BoardFilters
            filter={filter}
            isFiltered={address !== ''}
            onFilter={(next) => window.history.replaceState(null, '', boardAddress(next) || '/')}
          />
          <StripLegend />
        </div>
      )}
      <BoardBands
        board={board}
        address={shownAddress}
        isReading={shownAddress !== address && !isLost}
        now={now}
      />
      <LostServer lostSinceAt={lostSinceAt} asOf={board.asOf} zone={zone} />
    </>
  )
}

/** The board of `address` as last known; until it has come, the one shown before it. */
function useBoard(initial: Board, initialAddress: string, address: string) {
  const isInitial = address === initialAddress
  const query = useQuery({
    queryKey: ['board', address],
    queryFn: ({ signal }) => askServer<Board>(`/api/board${address}`, signal),
    placeholderData: keepPreviousData,
    ...(isInitial && { initialData: initial, initialDataUpdatedAt: initial.asOf }),
  })
  const [last, setLast] = useState({ board: initial, address: initialAddress })
  const known = query.data && !query.isPlaceholderData ? query.data : null
  if (known && (last.board !== known || last.address !== address)) setLast({ board: known, address })
  return { board: known ?? last.board, shownAddress: known ? address : last.address, isLost: query.isError }
}
