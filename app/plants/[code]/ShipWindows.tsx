import type { ReactNode } from 'react'
import { useTranslate } from '#translate'
import { rich } from '@/app/ui/language/rich'
import { formatPerHundred } from '@/app/ui/words/chance'
import { formatDayNumber, formatLongInstant } from '@/app/ui/words/instant'
import {
  findMissedWindows,
  formatChanceBasis,
  formatClockTime,
  formatMissedPickup,
  formatShipAdvice,
  formatShipReasons,
  type ShipTextContext,
} from '@/app/ui/words/shipAdvice'
import { formatIsoDate } from '@/lib/hold/zone'
import type { Translate } from '@/lib/messages/translate'
import type { ShipPage } from '@/lib/store/read/ship/shipWindows'
import styles from './ShipWindows.module.css'

/**
 * When to cut and hand over. The plant's contact opens it, often on a phone, in gloves, beside a moving line, and needs one
 * sentence: when do I cut, when do I hand over; and if that does not suit, which other day and service. The sentence comes
 * first and large, then its reasons in numbers, then every day and service. An administrator who plans kits reads it from
 * the bottom up. All days and times are the plant's.
 */
export function ShipWindows({ page, children }: { page: ShipPage; children: ReactNode }) {
  const t = useTranslate()
  const { advice, plant, asOf, isCut } = page
  const name = (code: string | null) => page.services.find((one) => one.code === code)?.name ?? null
  const subject: ShipTextContext = { advice, zone: plant.zone, now: asOf, isCut, serviceName: name }
  return (
    <section className={styles.ship} aria-labelledby="ship">
      <h2 id="ship" className={styles.label}>
        {t(isCut ? 'plants.ship.headingHandOver' : 'plants.ship.headingCut')}
      </h2>
      <div className={styles.label}>{children}</div>
      <p className={styles.sentence}>{formatShipAdvice(t, subject)}</p>
      <p className={styles.reasons}>{formatShipReasons(t, subject).join(' ')}</p>
      <ShipTable page={page} />
      {findMissedWindows(page).length > 0 && (
        <div className={styles.missed}>
          <h3>{t('plants.ship.missed')}</h3>
          <ul>
            {findMissedWindows(page).map((window) => (
              <li key={`${window.day} ${window.service}`}>{formatMissedPickup(t, window, subject)}</li>
            ))}
          </ul>
        </div>
      )}
      <p className={styles.basis}>
        {formatChanceBasis(t, page, name)}{' '}
        {t('plants.ship.asOf', { time: formatLongInstant(t, asOf, plant.zone, asOf) })}
      </p>
    </section>
  )
}

type Day = ShipPage['days'][number]
type Cell = Day['cells'][number]
type Window = NonNullable<Cell['window']>

/** The least number in time out of 100 that is safe; `tight`: the chance to miss from which a sample is tight. */
const computeSafeCount = (tight: number) => Math.round(100 * (1 - tight))

/** Every day and service: days along and services down; on a narrow screen days down and services along. */
function ShipTable({ page }: { page: ShipPage }) {
  const t = useTranslate()
  const { days, services, plant, asOf, laboratory } = page
  return (
    <table className={styles.table}>
      <caption>
        {t('plants.ship.caption', { isCut: page.isCut ? 'yes' : 'no', safe: computeSafeCount(page.tight) })}
      </caption>
      <thead>
        <tr>
          <th scope="col">
            <span className="unseen">{t('plants.ship.day')}</span>
          </th>
          {services.map(({ code, name }) => (
            <th key={code} scope="col">
              {name ?? t('plants.ship.anyService')}
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
                  {rich(t, 'plants.ship.closed', {
                    unseen: (text) => <span className="unseen">{text}</span>,
                    laboratory: laboratory.name,
                  })}
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
  if (!window)
    return (
      <span className={styles.none}>
        {t(cell.why === 'gone' ? 'plants.ship.gone' : 'plants.ship.noPickup')}
      </span>
    )
  const marks = listMarks(t, window, page)
  const { chance } = window
  return (
    <>
      <span className={styles.number}>
        {chance === null ? t('plants.ship.noData') : formatPerHundred(t, chance)}
      </span>
      {chance !== null && (
        <svg className={styles.bar} width="100%" height="7" aria-hidden="true" focusable="false">
          <rect className={styles.miss} width="100%" height="7" />
          <rect className={styles.inTime} width={`${(100 * chance).toFixed(1)}%`} height="7" />
        </svg>
      )}
      <span className={styles.time}>{formatClockTime(t, window.handOverAt, page.plant.zone)}</span>
      {marks.length > 0 && <strong className={styles.mark}>{t.list(marks)}</strong>}
    </>
  )
}

function listMarks(t: Translate, window: Window, { advice, isCut }: ShipPage): string[] {
  const is = (other: Window | null) =>
    other !== null && other.day === window.day && other.service === window.service
  return [
    ...(is(advice.best) ? [t('plants.ship.best')] : []),
    ...(is(advice.lastSafe) ? [t('plants.ship.lastSafe')] : []),
    ...(!isCut && is(advice.sooner) ? [t('plants.ship.soonestSafe')] : []),
  ]
}
