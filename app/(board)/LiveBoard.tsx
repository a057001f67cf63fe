'use client'

import { keepPreviousData, useQuery } from '@tanstack/react-query'
import { useSearchParams } from 'next/navigation'
import { useState } from 'react'
import { useTranslate } from '#translate'
import { ConnectionNotice, fetchJson, useUnreachableSince } from '@/app/ui/ConnectionNotice'
import { Link } from '@/app/ui/Link'
import { SampleLink } from '@/app/ui/SampleLink'
import { StandingDetail } from '@/app/ui/StandingDetail'
import { useServerNow } from '@/app/ui/useServerNow'
import { useViewer, useViewerZone } from '@/app/ui/ViewerProvider'
import { formatLongInstant } from '@/app/ui/words/instant'
import { spellCount, spellNumber } from '@/app/ui/words/number'
import { formatStanding, type StandingText } from '@/app/ui/words/standing'
import { needsReplacement } from '@/lib/judgement/nextStep'
import type { Translate } from '@/lib/messages/translate'
import { capitalised } from '@/lib/schedule/firstLetter'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import type { Board, BoardFilter } from '@/lib/store/read/board'
import { BoardAxis, StripLegend } from './BoardAxis'
import { BoardFilters } from './BoardFilters'
import { formatBoardQuery, readBoardFilter } from './boardFilter'
import { formatBoardSummary } from './boardSummary'
import { GettingStarted } from './GettingStarted'
import styles from './LiveBoard.module.css'
import { PlantBand } from './PlantBand'
import { useKeyboardNavigation } from './useKeyboardNavigation'
import { useStableBands } from './useStableBands'

/** The board as it was first painted, then kept up to date. The filter lives in the address. */
export function LiveBoard({ initial, initialFilter }: { initial: Board; initialFilter: BoardFilter }) {
  const params = useSearchParams()
  const filter = readBoardFilter((key) => params.get(key))
  const address = formatBoardQuery(filter)
  const { board, shownAddress, isLost } = useBoard(initial, formatBoardQuery(initialFilter), address)
  const zone = useViewerZone()
  const now = useServerNow(board.asOf)
  const lostSinceAt = useUnreachableSince(isLost, now)
  useKeyboardNavigation()
  return (
    <>
      <BoardHeading board={board} zone={zone} now={now} isFiltered={shownAddress !== ''} />
      {(board.counts.open > 0 || board.hasSettled) && (
        <div className={styles.tools}>
          <BoardFilters
            filter={filter}
            isFiltered={address !== ''}
            onFilter={(next) => window.history.replaceState(null, '', formatBoardQuery(next) || '/')}
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
      <ConnectionNotice lostSinceAt={lostSinceAt} asOf={board.asOf} zone={zone} />
    </>
  )
}

/** The board of `address` as last known; until it has come, the one shown before it. */
function useBoard(initial: Board, initialAddress: string, address: string) {
  const isInitial = address === initialAddress
  const query = useQuery({
    queryKey: ['board', address],
    queryFn: ({ signal }) => fetchJson<Board>(`/api/board${address}`, signal),
    placeholderData: keepPreviousData,
    ...(isInitial && { initialData: initial, initialDataUpdatedAt: initial.asOf }),
  })
  const [last, setLast] = useState({ board: initial, address: initialAddress })
  const known = query.data && !query.isPlaceholderData ? query.data : null
  if (known && (last.board !== known || last.address !== address)) setLast({ board: known, address })
  return { board: known ?? last.board, shownAddress: known ? address : last.address, isLost: query.isError }
}

/** The bands of a board under one axis. What changes while someone points into them waits to be shown. */
function BoardBands({
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
  const t = useTranslate()
  const { bands, waiting, onShow, handlers } = useStableBands(board, getBands, address)
  if (board.bands.length === 0) return <EmptyBoard board={board} isFiltered={address !== ''} />
  return (
    <>
      <div {...handlers}>
        <BoardAxis waiting={waiting} onShow={onShow}>
          {isReading ? 'Reading …' : address !== '' && formatMatches(t, board)}
        </BoardAxis>
        {bands.map((band) => (
          <PlantBand key={band.plant.code} band={band} now={now} />
        ))}
      </div>
      {board.notShown > 0 && (
        <p>
          {capitalised(spellCount(t, board.notShown, 'more sample is', 'more samples are'))} under way that
          press less. Search or filter to see them.
        </p>
      )}
    </>
  )
}

const getBands = (board: Board) => board.bands

/** How many samples a filter finds: "23 under way and the last 100 settled". */
function formatMatches(t: Translate, { bands, notShown }: Board): string {
  const rows = bands.flatMap((band) => band.rows)
  const settled = rows.filter((row) => row.isSettled).length
  const count = rows.length - settled + notShown
  const open = count === 0 ? 'None under way' : capitalised(`${spellNumber(t, count)} under way`)
  return settled === 0
    ? open
    : `${open} and ${settled < MAX_SETTLED ? '' : 'the last '}${spellNumber(t, settled)} settled`
}

/** A search finds no more settled samples than this. */
const MAX_SETTLED = 100

/** Why a board is empty, and what to do about it. */
function EmptyBoard({ board, isFiltered }: { board: Board; isFiltered: boolean }) {
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
      <GettingStarted />
    </>
  )
}

/** How many samples need someone today, which one first, and how many are under way. */
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
  const { heading, rest } = formatBoardSummary(t, board.counts)
  return (
    <div className={styles.head}>
      <p className={styles.when}>
        <time dateTime={new Date(now).toISOString()}>{formatLongInstant(t, now, zone, now)}</time>
      </p>
      <h1>{heading}</h1>
      <p className={styles.rest}>
        {rest}{' '}
        {board.unplaced > 0 && (
          <Link href="/unplaced">
            {capitalised(spellCount(t, board.unplaced, 'event fits', 'events fit'))} no sample.
          </Link>
        )}
      </p>
      {!isFiltered && <Priorities board={board} now={now} />}
    </div>
  )
}

/** The sample that can still be saved and has the least time, and the last that has to be replaced. */
function Priorities({ board, now }: { board: Board; now: number }) {
  const t = useTranslate()
  const reader = useViewer()
  const all = board.bands.flatMap(({ plant, rows }) =>
    rows.map((row) => ({ row, plant, words: formatStanding(t, row, plant.zone, now, reader) })),
  )
  const dueOf = (one: (typeof all)[number]) =>
    (one.words.standing === 'lapsed' ? (one.row.lapsed ?? one.row.binding) : one.row.binding)?.dueAt ?? 0
  const save = all.filter(({ words }) => words.standing === 'at risk').sort((a, b) => dueOf(a) - dueOf(b))[0]
  const lapsed = all
    .filter(({ row, words }) => words.standing === 'lapsed' && !row.isSettled && needsReplacement(row))
    .sort((a, b) => dueOf(b) - dueOf(a))[0]
  if (!save && !lapsed) return null
  return (
    <p className={styles.first}>
      {save && (
        <>
          Save first: <PrioritySample {...save} />.
        </>
      )}
      {save && lapsed && <br />}
      {lapsed && (
        <>
          To be replaced: <PrioritySample {...lapsed} />.
        </>
      )}
    </p>
  )
}

function PrioritySample({
  row,
  plant,
  words,
}: {
  row: SampleRow
  plant: { name: string }
  words: StandingText
}) {
  return (
    <>
      <SampleLink code={row.code} /> of {plant.name}, {words.headline} (
      <StandingDetail words={words} />)
    </>
  )
}
