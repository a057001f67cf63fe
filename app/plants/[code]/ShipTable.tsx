import { dayNumberWords } from '@/app/ui/words/instantWords'
import { ofHundred, timeWords } from '@/app/ui/words/shipWords'
import { dayText } from '@/lib/hold/zone'
import type { ShipPage } from '@/lib/store/read/ship/shipWindows'
import styles from './Ship.module.css'

type Day = ShipPage['days'][number]
type Cell = Day['cells'][number]
type Window = NonNullable<Cell['window']>

/** The least number of 100 that is safe, where so large a chance to miss is not. */
const safeFrom = (tight: number) => Math.round(100 * (1 - tight))

/** Every day and service: days along and services down; on a narrow screen days down and services along. */
export function ShipTable({ page }: { page: ShipPage }) {
  const { days, services, plant, asOf, laboratory } = page
  return (
    <table className={styles.table}>
      <caption>
        How many of 100 samples {page.isCut ? 'handed over' : 'cut that day and handed over'} at each pickup
        are in time by every limit; brick is the share that is not. Safe is {safeFrom(page.tight)} of 100 or
        more. A time is that of the pickup.
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
              <time dateTime={dayText(day.day)}>{dayNumberWords(day.day, plant.zone, asOf)}</time>
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
  const { window } = cell
  if (!window) return <span className={styles.none}>{cell.why === 'gone' ? 'has gone' : 'no pickup'}</span>
  const mark = markOf(window, page)
  const { chance } = window
  return (
    <>
      <span className={styles.number}>{chance === null ? 'no record yet' : ofHundred(chance)}</span>
      {chance !== null && (
        <svg className={styles.bar} width="100%" height="7" aria-hidden="true" focusable="false">
          <rect className={styles.miss} width="100%" height="7" />
          <rect className={styles.inTime} width={`${(100 * chance).toFixed(1)}%`} height="7" />
        </svg>
      )}
      <span className={styles.time}>{timeWords(window.handOverAt, page.plant.zone)}</span>
      {mark && <strong className={styles.mark}>{mark}</strong>}
    </>
  )
}

function markOf(window: Window, { advice, isCut }: ShipPage): string | null {
  const is = (other: Window | null) =>
    other !== null && other.day === window.day && other.service === window.service
  const marks = [
    ...(is(advice.best) ? ['best'] : []),
    ...(is(advice.lastSafe) ? ['last safe'] : []),
    ...(!isCut && is(advice.sooner) ? ['soonest safe'] : []),
  ]
  return marks.length > 0 ? marks.join(', ') : null
}
