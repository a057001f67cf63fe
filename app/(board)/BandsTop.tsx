import type { ReactNode } from 'react'
import { StripAxis } from '@/app/ui/StripAxis'
import { capitalised, countOf } from '@/app/ui/words/numberWords'
import styles from './BandsTop.module.css'

/** The axis over the strips, staying in sight, and beside it the changes that wait to be shown, or a note. */
export function BandsTop({
  waiting,
  onShow,
  children,
}: {
  waiting: number
  onShow: () => void
  children?: ReactNode
}) {
  return (
    <div className={styles.top}>
      <div className={styles.change} role="status">
        {waiting > 0 ? (
          <button type="button" onClick={onShow}>
            {capitalised(countOf(waiting, 'change'))}: show
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
