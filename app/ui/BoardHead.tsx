import Link from 'next/link'
import { displayCode } from '@/lib/custody/kitCode'
import type { Board } from '@/lib/store'
import { boardSentence } from '../words/boardSentence'
import { headingInstant } from '../words/instantWords'
import { capitalised, countOf } from '../words/numberWords'
import { standingWords } from '../words/standingWords'
import styles from './BoardHead.module.css'

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

/** The sample that presses most, in a sentence. */
function First({ board, now }: { board: Board; now: number }) {
  const band = board.bands[0]
  const row = band?.rows[0]
  if (!band || !row) return null
  const { standing, lead, about, action } = standingWords(row, band.plant.zone, now)
  if (standing !== 'lapsed' && standing !== 'at risk') return null
  return (
    <p className={styles.first}>
      First: <Link href={`/samples/${row.code}`}>{displayCode(row.code)}</Link> of {band.plant.name}, {lead}
      {about && ` (${about})`}
      {action && `: ${action}`}.
    </p>
  )
}
