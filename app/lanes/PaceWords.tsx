import { changeWords } from '@/app/ui/words/laneWords'
import { numberWords } from '@/app/ui/words/numberWords'
import { capitalised } from '@/lib/schedule/firstLetter'
import type { LanePage } from '@/lib/store/read/lanes/lanePage'
import styles from './Lanes.module.css'

/** Whether a lane has changed its pace, since when and by how much. Days are those of `zone`. */
export function PaceWords({
  figures: { pace, isNewlySlower },
  zone,
  now,
}: {
  figures: Pick<LanePage['figures'], 'pace' | 'isNewlySlower'>
  zone: string
  now: number
}) {
  const { change, cannotTell, arrivals, leastArrivals } = pace
  if (change)
    return (
      <span className={isNewlySlower ? styles.slower : undefined}>
        {capitalised(changeWords(change, zone, now))}
      </span>
    )
  if (!cannotTell) return <span className={styles.even}>even</span>
  return (
    <span className={styles.even}>
      too few to tell: {numberWords(Math.floor(arrivals + 1e-9))} of {numberWords(leastArrivals)} arrivals
    </span>
  )
}
