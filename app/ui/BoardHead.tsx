import Link from 'next/link'
import type { Board, SampleRow } from '@/lib/store'
import { boardSentence } from '../words/boardSentence'
import { headingInstant } from '../words/instantWords'
import { capitalised, countOf } from '../words/numberWords'
import { type StandingWords, standingWords } from '../words/standingWords'
import styles from './BoardHead.module.css'
import { SampleLink } from './SampleLink'
import { StandingDetail } from './StandingDetail'

/** How many samples need someone today, which one first, and how many are under way. */
export function BoardHead({
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
  const { heading, rest } = boardSentence(board.counts)
  return (
    <div className={styles.head}>
      <p className={styles.when}>
        <time dateTime={new Date(now).toISOString()}>{headingInstant(now, zone, now)}</time>
      </p>
      <h1>{heading}</h1>
      <p className={styles.rest}>
        {rest}{' '}
        {board.unplaced > 0 && (
          <Link href="/unplaced">
            {capitalised(countOf(board.unplaced, 'event fits', 'events fit'))} no sample.
          </Link>
        )}
      </p>
      {!isFiltered && <First board={board} now={now} />}
    </div>
  )
}

/** The sample that presses most, and the next that can still make it, in a sentence each. */
function First({ board, now }: { board: Board; now: number }) {
  const all = board.bands.flatMap(({ plant, rows }) =>
    rows.map((row) => ({ row, plant, words: standingWords(row, plant.zone, now) })),
  )
  const dueOf = (one: (typeof all)[number]) => one.row.binding?.dueAt ?? Number.POSITIVE_INFINITY
  const atRisk = all.filter(({ words }) => words.standing === 'at risk').sort((a, b) => dueOf(a) - dueOf(b))
  const first = all.find(({ words }) => words.standing === 'lapsed') ?? atRisk[0]
  const next = atRisk[0] === first ? undefined : atRisk[0]
  if (!first) return null
  return (
    <p className={styles.first}>
      First: <Named {...first} />.
      {next && (
        <>
          <br />
          Next to lapse: <Named {...next} />.
        </>
      )}
    </p>
  )
}

function Named({ row, plant, words }: { row: SampleRow; plant: { name: string }; words: StandingWords }) {
  return (
    <>
      <SampleLink code={row.code} /> of {plant.name}, {words.lead} (
      <StandingDetail words={words} />)
    </>
  )
}
