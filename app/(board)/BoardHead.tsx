import { Link } from '@/app/ui/Link'
import { SampleLink } from '@/app/ui/SampleLink'
import { StandingDetail } from '@/app/ui/StandingDetail'
import { useReader } from '@/app/ui/WhoReads'
import { headingInstant } from '@/app/ui/words/instantWords'
import { capitalised, countOf } from '@/app/ui/words/numberWords'
import { type StandingWords, standingWords } from '@/app/ui/words/standingWords'
import { isToBeReplaced } from '@/lib/judgement/replaceWords'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import type { Board } from '@/lib/store/read/board/board'
import styles from './BoardHead.module.css'
import { boardSentence } from './boardSentence'

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

/** The sample that can still be saved and has the least time, and the last that has to be replaced. */
function First({ board, now }: { board: Board; now: number }) {
  const reader = useReader()
  const all = board.bands.flatMap(({ plant, rows }) =>
    rows.map((row) => ({ row, plant, words: standingWords(row, plant.zone, now, reader) })),
  )
  const dueOf = (one: (typeof all)[number]) =>
    (one.words.standing === 'lapsed' ? (one.row.lapsed ?? one.row.binding) : one.row.binding)?.dueAt ?? 0
  const save = all.filter(({ words }) => words.standing === 'at risk').sort((a, b) => dueOf(a) - dueOf(b))[0]
  const lapsed = all
    .filter(({ row, words }) => words.standing === 'lapsed' && !row.isSettled && isToBeReplaced(row))
    .sort((a, b) => dueOf(b) - dueOf(a))[0]
  if (!save && !lapsed) return null
  return (
    <p className={styles.first}>
      {save && (
        <>
          Save first: <Named {...save} />.
        </>
      )}
      {save && lapsed && <br />}
      {lapsed && (
        <>
          To be replaced: <Named {...lapsed} />.
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
