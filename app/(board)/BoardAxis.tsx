import type { ReactNode } from 'react'
import { useTranslate } from '#translate'
import { StripAxis } from '@/app/ui/StripAxis'
import { spellCount } from '@/app/ui/words/number'
import { capitalised } from '@/lib/schedule/firstLetter'
import styles from './BoardAxis.module.css'

/** The axis over the strips, staying in sight, and beside it the changes that wait to be shown, or a note. */
export function BoardAxis({
  waiting,
  onShow,
  children,
}: {
  waiting: number
  onShow: () => void
  children?: ReactNode
}) {
  const t = useTranslate()
  return (
    <div className={styles.top}>
      <div className={styles.change} role="status">
        {waiting > 0 ? (
          <button type="button" onClick={onShow}>
            {capitalised(spellCount(t, waiting, 'change'))}: show
          </button>
        ) : (
          children
        )}
      </div>
      <div className={styles.axis}>
        <StripAxis />
      </div>
    </div>
  )
}

/** How to read the strips, in two sentences; on a phone in one. */
export function StripLegend() {
  return (
    <>
      <p className={styles.legend}>
        Each line runs from the start of a sample’s most pressing clock to now (the ring); small bars are what
        has happened. The dotted upright is the limit, in one place for all: the nearer the ring, the less
        time is left; past it the sample has lapsed. The hill is when the clock is likely to stop: what lies
        of it past the limit is the chance to miss. In italics, which limit. Days are the plant’s.
      </p>
      <p className={styles.short}>
        Ring: now. Dotted upright: the limit, named in italics. Small bars: what has happened. Hill: when it
        is likely to stop; past the limit, the chance to miss. Days are the plant’s.
      </p>
    </>
  )
}
