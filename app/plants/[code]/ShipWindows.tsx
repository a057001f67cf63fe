import type { ReactNode } from 'react'
import { useTranslate } from '#translate'
import { formatPerHundred } from '@/app/ui/words/chanceText'
import { formatDayNumber, formatLongInstant } from '@/app/ui/words/instant'
import {
  findMissedWindows,
  formatChanceBasis,
  formatClockTime,
  formatMissedPickup,
  formatShipAdvice,
  formatShipReasons,
  type ShipTextContext,
} from '@/app/ui/words/shipText'
import { formatIsoDate } from '@/lib/hold/zone'
import { formatZone } from '@/lib/schedule/zoneName'
import type { ShipPage } from '@/lib/store/read/ship/shipWindows'
import styles from './ShipWindows.module.css'

/**
 * When to cut and hand over. It is opened by the plant's contact, often on a phone, in gloves, beside a moving line, who
 * wants one sentence: when do I cut, when do I hand over; and if that does not suit, which other day and service. So the
 * sentence stands first and large, then its reasons in numbers, then every day and service. An administrator who plans
 * kits reads the same from below. All days and times are the plant's.
 */
export function ShipWindows({ page, children }: { page: ShipPage; children: ReactNode }) {
  const t = useTranslate()
  const { advice, plant, asOf, isCut } = page
  const name = (code: string | null) => page.services.find((one) => one.code === code)?.name ?? null
  const subject: ShipTextContext = { advice, zone: plant.zone, now: asOf, isCut, serviceName: name }
  return (
    <section className={styles.ship} aria-labelledby="ship">
      <h2 id="ship" className={styles.label}>
        {isCut ? 'When to hand over' : 'When to cut and hand over'}
      </h2>
      <div className={styles.label}>{children}</div>
      <p className={styles.sentence}>{formatShipAdvice(t, subject)}</p>
      <p className={styles.reasons}>{formatShipReasons(t, subject).join(' ')}</p>
      <ShipTable page={page} />
      {findMissedWindows(page).length > 0 && (
        <div className={styles.missed}>
          <h3>If the carrier is missed</h3>
          <ul>
            {findMissedWindows(page).map((window) => (
              <li key={`${window.day} ${window.service}`}>{formatMissedPickup(t, window, subject)}</li>
            ))}
          </ul>
        </div>
      )}
      <p className={styles.basis}>
        {formatChanceBasis(t, page, name)} As of {formatLongInstant(t, asOf, plant.zone, asOf)}; all times are
        those of {formatZone(plant.zone)}.
      </p>
    </section>
  )
}

type Day = ShipPage['days'][number]
type Cell = Day['cells'][number]
type Window = NonNullable<Cell['window']>

/** The least number of 100 that is safe, where so large a chance to miss is not. */
const computeSafeCount = (tight: number) => Math.round(100 * (1 - tight))

/** Every day and service: days along and services down; on a narrow screen days down and services along. */
function ShipTable({ page }: { page: ShipPage }) {
  const t = useTranslate()
  const { days, services, plant, asOf, laboratory } = page
  return (
    <table className={styles.table}>
      <caption>
        How many of 100 samples {page.isCut ? 'handed over' : 'cut that day and handed over'} at each pickup
        are in time by every limit; brick is the share that is not. Safe is {computeSafeCount(page.tight)} of
        100 or more. A time is that of the pickup.
      </caption>
      <thead>
        <tr>
          <th scope="col">
            <span className="unseen">Day</span>
          </th>
          {services.map(({ code, name }) => (
            <th key={code} scope="col">
              {name ?? 'Any service'}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {days.map((day) => (
          <tr key={day.day} data-rest={day.cells.every(({ window }) => window === null)}>
            <th scope="row">
              <time dateTime={formatIsoDate(day.day)}>{formatDayNumber(t, day.day, plant.zone, asOf)}</time>
              {!day.isLaboratoryOpen && (
                <span className={styles.closed}>
                  <span className="unseen">{laboratory.name}: </span>laboratory closed
                </span>
              )}
            </th>
            {day.cells.map((cell, index) => (
              <td key={services[index]?.code}>
                <ShipCell cell={cell} page={page} />
              </td>
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  )
}

function ShipCell({ cell, page }: { cell: Cell; page: ShipPage }) {
  const t = useTranslate()
  const { window } = cell
  if (!window) return <span className={styles.none}>{cell.why === 'gone' ? 'has gone' : 'no pickup'}</span>
  const mark = formatMark(window, page)
  const { chance } = window
  return (
    <>
      <span className={styles.number}>{chance === null ? 'no record yet' : formatPerHundred(t, chance)}</span>
      {chance !== null && (
        <svg className={styles.bar} width="100%" height="7" aria-hidden="true" focusable="false">
          <rect className={styles.miss} width="100%" height="7" />
          <rect className={styles.inTime} width={`${(100 * chance).toFixed(1)}%`} height="7" />
        </svg>
      )}
      <span className={styles.time}>{formatClockTime(t, window.handOverAt, page.plant.zone)}</span>
      {mark && <strong className={styles.mark}>{mark}</strong>}
    </>
  )
}

function formatMark(window: Window, { advice, isCut }: ShipPage): string | null {
  const is = (other: Window | null) =>
    other !== null && other.day === window.day && other.service === window.service
  const marks = [
    ...(is(advice.best) ? ['best'] : []),
    ...(is(advice.lastSafe) ? ['last safe'] : []),
    ...(!isCut && is(advice.sooner) ? ['soonest safe'] : []),
  ]
  return marks.length > 0 ? marks.join(', ') : null
}
