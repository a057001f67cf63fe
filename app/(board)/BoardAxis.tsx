import type { ReactNode } from 'react'
import { useTranslate } from '#translate'
import { StripAxis } from '@/app/ui/StripAxis'
import styles from './BoardAxis.module.css'

/** The axis above the strips, always in sight. Beside it: a button for changes that wait to be shown, or a note. */
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
            {t('board.showChanges', { count: waiting })}
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

/** How to read the strips; shorter on a phone, and folded. */
export function StripLegend() {
  const t = useTranslate()
  return (
    <>
      <p className={styles.legend}>{t('board.legend')}</p>
      <details className={styles.short}>
        <summary>{t('board.legend.open')}</summary>
        <p>{t('board.legend.short')}</p>
      </details>
    </>
  )
}
