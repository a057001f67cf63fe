import { useTranslate } from '#translate'
import { formatPaceChange } from '@/app/ui/words/lane'
import type { LanePage } from '@/lib/store/read/lanes/lanePage'
import styles from './Lanes.module.css'

/** Whether a lane has changed its pace, since when and by how much. Days are those of `zone`. */
export function PaceStatus({
  figures: { pace, isNewlySlower },
  zone,
  now,
}: {
  figures: Pick<LanePage['figures'], 'pace' | 'isNewlySlower'>
  zone: string
  now: number
}) {
  const t = useTranslate()
  const { change, hasTooFewArrivals, arrivals, minArrivals } = pace
  if (change)
    return (
      <span className={isNewlySlower ? styles.slower : undefined}>
        {formatPaceChange(t, change, zone, now)}
      </span>
    )
  if (!hasTooFewArrivals) return <span className={styles.even}>{t('lanes.pace.steady')}</span>
  // A sum of thirds falls short of a whole by rounding.
  const whole = Math.floor(arrivals + 1e-9)
  return (
    <span className={styles.even}>{t('lanes.pace.tooFew', { arrivals: whole, needed: minArrivals })}</span>
  )
}
