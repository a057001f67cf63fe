import type { ReactNode } from 'react'
import { headingInstant } from '@/app/ui/words/instantWords'
import {
  basisSentence,
  missedSentence,
  missedWindows,
  type ShipSubject,
  shipReasons,
  shipSentence,
} from '@/app/ui/words/shipWords'
import { placeName } from '@/lib/schedule/placeName'
import type { ShipPage } from '@/lib/store/read/ship/shipWindows'
import styles from './Ship.module.css'
import { ShipTable } from './ShipTable'

/**
 * When to cut and hand over. It is opened by the plant's contact, often on a phone, in gloves, beside a moving line, who
 * wants one sentence: when do I cut, when do I hand over; and if that does not suit, which other day and service. So the
 * sentence stands first and large, then its reasons in numbers, then every day and service. An administrator who plans
 * kits reads the same from below. All days and times are the plant's.
 */
export function ShipWindows({ page, children }: { page: ShipPage; children: ReactNode }) {
  const { advice, plant, asOf, isCut } = page
  const name = (code: string | null) => page.services.find((one) => one.code === code)?.name ?? null
  const subject: ShipSubject = { advice, zone: plant.zone, now: asOf, isCut, serviceName: name }
  return (
    <section className={styles.ship} aria-labelledby="ship">
      <h2 id="ship" className={styles.label}>
        {isCut ? 'When to hand over' : 'When to cut and hand over'}
      </h2>
      <div className={styles.label}>{children}</div>
      <p className={styles.sentence}>{shipSentence(subject)}</p>
      <p className={styles.reasons}>{shipReasons(subject).join(' ')}</p>
      <ShipTable page={page} />
      {missedWindows(page).length > 0 && (
        <div className={styles.missed}>
          <h3>If the carrier is missed</h3>
          <ul>
            {missedWindows(page).map((window) => (
              <li key={`${window.day} ${window.service}`}>{missedSentence(window, subject)}</li>
            ))}
          </ul>
        </div>
      )}
      <p className={styles.basis}>
        {basisSentence(page, name)} As of {headingInstant(asOf, plant.zone, asOf)}; all times are those of{' '}
        {placeName(plant.zone)}.
      </p>
    </section>
  )
}
