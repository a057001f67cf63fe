'use client'

import { keepPreviousData, useQuery } from '@tanstack/react-query'
import { useSearchParams } from 'next/navigation'
import { useState } from 'react'
import { useTranslate } from '#translate'
import { ConnectionNotice, fetchJson, useUnreachableSince } from '@/app/ui/ConnectionNotice'
import { Link } from '@/app/ui/Link'
import { rich } from '@/app/ui/language/rich'
import { useRereadOnceOver } from '@/app/ui/useRereadOnceOver'
import { useServerNow } from '@/app/ui/useServerNow'
import { useViewerZone } from '@/app/ui/ViewerProvider'
import { formatLongInstant } from '@/app/ui/words/instant'
import { isListed } from '@/lib/judgement/sampleGroup'
import type { Translate } from '@/lib/messages/translate'
import type { Board, BoardFilter } from '@/lib/store/read/board'
import { BoardAxis, StripLegend } from './BoardAxis'
import { BoardFilters } from './BoardFilters'
import { formatBoardQuery, readBoardFilter } from './boardFilter'
import { formatBoardSummary } from './boardSummary'
import { GettingStarted } from './GettingStarted'
import styles from './LiveBoard.module.css'
import { PlantBand } from './PlantBand'
import { Priorities } from './Priorities'
import { useKeyboardNavigation } from './useKeyboardNavigation'
import { useStableBands } from './useStableBands'

/** The board as first rendered, then kept up to date. The filter is in the address. */
export function LiveBoard({ initial, initialFilter }: { initial: Board; initialFilter: BoardFilter }) {
  const params = useSearchParams()
  const filter = readBoardFilter((key) => params.get(key))
  const query = formatBoardQuery(filter)
  const { board, shownQuery, isUnreachable, reread } = useBoard(
    initial,
    formatBoardQuery(initialFilter),
    query,
  )
  const zone = useViewerZone()
  const now = useServerNow(board.asOf)
  useRereadOnceOver(
    board.bands.flatMap(({ rows }) => rows),
    now,
    reread,
  )
  const unreachableSinceAt = useUnreachableSince(isUnreachable, now)
  useKeyboardNavigation()
  return (
    <>
      <BoardHeading board={board} zone={zone} now={now} isFiltered={shownQuery !== ''} />
      {(board.counts.total > 0 || board.hasSettled) && (
        <div className={styles.tools}>
          <BoardFilters
            filter={filter}
            isFiltered={query !== ''}
            onFilter={(next) => window.history.replaceState(null, '', formatBoardQuery(next) || '/')}
          />
          <StripLegend />
        </div>
      )}
      <BoardBands
        board={board}
        query={shownQuery}
        isLoading={shownQuery !== query && !isUnreachable}
        now={now}
      />
      <ConnectionNotice unreachableSinceAt={unreachableSinceAt} asOf={board.asOf} zone={zone} />
    </>
  )
}

/** The newest board for `query`; until one has come, the board shown before. */
function useBoard(initial: Board, initialQuery: string, query: string) {
  const isInitial = query === initialQuery
  const { data, isPlaceholderData, isError, refetch } = useQuery({
    queryKey: ['board', query],
    queryFn: ({ signal }) => fetchJson<Board>(`/api/board${query}`, signal),
    placeholderData: keepPreviousData,
    ...(isInitial && { initialData: initial, initialDataUpdatedAt: initial.asOf }),
  })
  const [last, setLast] = useState({ board: initial, query: initialQuery })
  const known = data && !isPlaceholderData ? data : null
  if (known && (last.board !== known || last.query !== query)) setLast({ board: known, query })
  return {
    board: known ?? last.board,
    shownQuery: known ? query : last.query,
    isUnreachable: isError,
    reread: refetch,
  }
}

/** The bands of a board under one axis. A new order waits while someone points into them. */
function BoardBands({
  board,
  query,
  isLoading,
  now,
}: {
  board: Board
  query: string
  isLoading: boolean
  now: number
}) {
  const t = useTranslate()
  const { bands, waiting, onShow, handlers } = useStableBands(board, getBands, query)
  if (board.bands.length === 0) return <EmptyBoard board={board} isFiltered={query !== ''} />
  return (
    <>
      <div {...handlers}>
        <BoardAxis waiting={waiting} onShow={onShow}>
          {isLoading ? t('board.loading') : query !== '' && formatMatches(t, board)}
        </BoardAxis>
        {bands.map((band) => (
          <PlantBand key={band.plant.code} band={band} now={now} />
        ))}
      </div>
      {board.notShown > 0 && <p>{t('board.notShown', { count: board.notShown })}</p>}
    </>
  )
}

const getBands = (board: Board) => board.bands

/** How many samples a filter finds: "23 under way, the last 100 settled". */
function formatMatches(t: Translate, { bands, notShown }: Board): string {
  const rows = bands.flatMap((band) => band.rows)
  const settled = rows.filter((row) => !isListed(row)).length
  const open = rows.length - settled + notShown
  if (settled === 0) return t('board.matches.open', { open })
  return t(settled < MAX_SETTLED ? 'board.matches.settled' : 'board.matches.lastSettled', { open, settled })
}

/** The most settled samples that a search finds. */
const MAX_SETTLED = 100

/** Why a board is empty, and what to do about it. */
function EmptyBoard({ board, isFiltered }: { board: Board; isFiltered: boolean }) {
  const t = useTranslate()
  if (isFiltered) return <p>{rich(t, 'board.empty.filtered', { clear: (text) => <a href="/">{text}</a> })}</p>
  if (board.hasSettled) return <p>{t('board.empty.settled')}</p>
  return (
    <>
      <p>{rich(t, 'board.empty.setUp', { link: (text) => <Link href="/setup">{text}</Link> })}</p>
      <GettingStarted />
    </>
  )
}

/** How many samples need someone today, which one first, and what else is under way. */
function BoardHeading({
  board,
  zone,
  now,
  isFiltered,
}: {
  board: Board
  zone: string
  now: number
  isFiltered: boolean
}) {
  const t = useTranslate()
  const { heading, rest, waiting } = formatBoardSummary(t, board.counts)
  return (
    <div className={styles.head}>
      <p className={styles.when}>
        <time dateTime={new Date(now).toISOString()}>{formatLongInstant(t, now, zone, now)}</time>
      </p>
      <h1>{heading}</h1>
      <p className={styles.rest}>
        {rest} <span className={styles.waiting}>{waiting} </span>
        {board.unplaced > 0 && <Link href="/unplaced">{t('board.unplaced', { count: board.unplaced })}</Link>}{' '}
        {board.claims > 0 && (
          <Link href="/unplaced#claims">{t('board.claims', { count: board.claims })}</Link>
        )}
      </p>
      {!isFiltered && <Priorities board={board} now={now} />}
    </div>
  )
}
