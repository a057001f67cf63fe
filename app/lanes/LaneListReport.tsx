import { scaleBand, scaleSqrt } from 'd3-scale'
import { useTranslate } from '#translate'
import filters from '@/app/ui/Filters.module.css'
import { Link } from '@/app/ui/Link'
import { rich } from '@/app/ui/language/rich'
import table from '@/app/ui/Table.module.css'
import { TurnaroundTable } from '@/app/ui/TurnaroundTable'
import { formatPercent } from '@/app/ui/words/chance'
import { formatLongInstant } from '@/app/ui/words/instant'
import { formatShipmentCount, formatSlowRule, formatStepCell } from '@/app/ui/words/lane'
import { spellFirstNumber, spellNumber } from '@/app/ui/words/number'
import type { Translate } from '@/lib/messages/translate'
import type { Turnaround } from '@/lib/store/read/figures/turnaround'
import type { LaneFilter, LaneList } from '@/lib/store/read/lanes/laneList'
import type { LanePage } from '@/lib/store/read/lanes/lanePage'
import styles from './Lanes.module.css'
import { laneHref } from './laneAddress'
import { PaceStatus } from './PaceStatus'

/** The reader's lanes, the most worrying first, and how long each part of the way takes. */
export function LaneListReport({
  list,
  filter,
  times,
}: {
  list: LaneList
  filter: LaneFilter
  times: Turnaround
}) {
  const t = useTranslate()
  const { asOf, lanes, choices } = list
  const isFiltered = Object.values(filter).some((one) => one !== undefined)
  const hasAny = choices.plant.length > 0
  return (
    <>
      <p className={styles.when}>{formatLongInstant(t, asOf, 'UTC', asOf)}</p>
      <h1 className={styles.heading}>{formatLaneHeading(t, list)}</h1>
      <p className="prose">{t('lanes.list.about')}</p>
      {hasAny && <LaneFilters choices={choices} filter={filter} isFiltered={isFiltered} />}
      {lanes.length > 0 && <LaneTable lanes={lanes} asOf={asOf} />}
      {lanes.length === 0 && isFiltered && (
        <p>{rich(t, 'lanes.list.noMatch', { link: (text) => <Link href="/lanes">{text}</Link> })}</p>
      )}
      {!hasAny && <p className="prose">{t('lanes.list.empty')}</p>}
      <h2>{t('lanes.turnaround.heading')}</h2>
      <TurnaroundTable times={times} caption={formatTurnaroundCaption(t, list, filter)} />
    </>
  )
}

function formatLaneHeading(t: Translate, { lanes, choices }: LaneList): string {
  const count = lanes.length
  if (count === 0)
    return t(choices.plant.length > 0 ? 'lanes.list.heading.noMatch' : 'lanes.list.heading.none')
  const total = spellNumber(t, count)
  const slower = lanes.filter(({ figures }) => figures.isNewlySlower).length
  if (slower > 0) {
    const number = spellFirstNumber(t, slower)
    return t('lanes.list.heading.slower', { slower, number, lanes: count, total })
  }
  const slow = lanes.filter(({ figures }) => figures.slowBreaks.length > 0).length
  if (slow > 0)
    return t('lanes.list.heading.slow', { slow, number: spellNumber(t, slow), lanes: count, total })
  return t('lanes.list.heading.steady', { lanes: count, total })
}

function formatTurnaroundCaption(t: Translate, { choices }: LaneList, filter: LaneFilter): string {
  const find = (key: 'plant' | 'laboratory') =>
    filter[key] && (choices[key].find(({ code }) => code === filter[key])?.name ?? filter[key])
  const [plant, laboratory] = [find('plant'), find('laboratory')]
  if (plant && laboratory) return t('lanes.turnaround.both', { plant, laboratory })
  if (plant) return t('lanes.turnaround.plant', { plant })
  return laboratory ? t('lanes.turnaround.laboratory', { laboratory }) : t('lanes.turnaround.all')
}

const FIELDS = [
  { field: 'plant', label: 'lanes.filter.plant', any: 'lanes.filter.plant.any' },
  { field: 'laboratory', label: 'lanes.filter.laboratory', any: 'lanes.filter.laboratory.any' },
  { field: 'service', label: 'lanes.filter.service', any: 'lanes.filter.service.any' },
] as const

/** A plain form kept in the address, so that it works without scripts. */
function LaneFilters({
  choices,
  filter,
  isFiltered,
}: {
  choices: LaneList['choices']
  filter: LaneFilter
  isFiltered: boolean
}) {
  const t = useTranslate()
  return (
    <search className={styles.search}>
      <form action="/lanes" className={filters.filters}>
        {FIELDS.filter(({ field }) => choices[field].length > 1 || filter[field] !== undefined).map(
          ({ field, label, any }) => (
            <label key={field}>
              <span>{t(label)}</span>
              <select name={field} defaultValue={filter[field] ?? ''}>
                <option value="">{t(any)}</option>
                {choices[field].map(({ code, name }) => (
                  <option key={code} value={code}>
                    {name}
                  </option>
                ))}
              </select>
            </label>
          ),
        )}
        {choices.plant.length + choices.laboratory.length + choices.service.length > 3 && (
          <button type="submit">{t('lanes.filter.show')}</button>
        )}
        {isFiltered && <a href="/lanes">{t('lanes.filter.clear')}</a>}
      </form>
    </search>
  )
}

type Line = LaneList['lanes'][number]

function LaneTable({ lanes, asOf }: { lanes: readonly Line[]; asOf: number }) {
  const t = useTranslate()
  return (
    <div className={table.scroll}>
      <table className={`${table.table} ${styles.lanes} ${styles.list}`}>
        <caption>{t('lanes.list.caption')}</caption>
        <thead>
          <tr>
            <th scope="col">{t('lanes.column.lane')}</th>
            <th scope="col">{t('lanes.column.pace')}</th>
            <th scope="col" className={table.number}>
              {t('lanes.column.median')}
            </th>
            <th scope="col" className={table.number}>
              {t('lanes.column.p90')}
            </th>
            <th scope="col">
              <span className="unseen">{t('lanes.column.bars')}</span>
            </th>
            <th scope="col" className={table.number}>
              {t('lanes.column.never')}
            </th>
            <th scope="col" className={table.number}>
              {t('lanes.column.shipments')}
            </th>
          </tr>
        </thead>
        <tbody>
          {lanes.map((lane) => (
            <LaneRow key={laneHref(lane)} lane={lane} asOf={asOf} />
          ))}
        </tbody>
      </table>
    </div>
  )
}

function LaneRow({ lane, asOf }: { lane: Line; asOf: number }) {
  const t = useTranslate()
  const { plant, laboratory, service, figures } = lane
  const { curve, counts, slowBreaks, borrowedShare } = figures
  return (
    <tr>
      <th scope="row">
        <Link href={laneHref(lane)}>
          {t('lanes.name', { plant: plant.name, laboratory: laboratory.name })}
        </Link>
        <span className={table.quiet}>{service?.name ?? t('lanes.noService')}</span>
      </th>
      <td className={styles.pace}>
        <PaceStatus figures={figures} zone={plant.zone} now={asOf} />
        {slowBreaks.map((rule) => (
          <span key={rule} className={styles.slow}>
            {formatSlowRule(t, rule)}
          </span>
        ))}
      </td>
      <td className={table.number} data-head={t('lanes.column.median')}>
        {curve ? formatStepCell(t, curve.medianSteps) : t('lanes.noneArrived')}
      </td>
      <td className={table.number} data-head={t('lanes.column.p90')}>
        {curve ? formatStepCell(t, curve.p90Steps) : ''}
      </td>
      <td className={styles.bars}>{curve && <ArrivalBars curve={curve} />}</td>
      <td className={table.number} data-head={t('lanes.column.never')}>
        {counts.never > 0 ? formatPercent(t, counts.never / counts.all) : t('lanes.never.none')}
      </td>
      <td className={table.number} data-head={t('lanes.column.shipments')}>
        {formatShipmentCount(t, counts.all)}
        {borrowedShare !== null && borrowedShare > 0.5 && (
          <span className={table.quiet}>{t('lanes.mostlyBorrowed')}</span>
        )}
      </td>
    </tr>
  )
}

type Curve = NonNullable<LanePage['figures']['curve']>

/** Every lane has the same axis, so that lanes can be compared. */
const DAYS = 12
const HEIGHT = 28
const days = scaleBand<number>()
  .domain(Array.from({ length: DAYS + 1 }, (_, step) => step))
  .range([0, 100])
  .paddingInner(0.2)
// A square root, so that small shares are seen beside large ones.
const height = scaleSqrt()
  .domain([0, 1])
  .range([0, HEIGHT - 2])

/** A bar for the share that arrives on each open day from 0 on; the last, in brick, is later or never. */
function ArrivalBars({ curve }: { curve: Curve }) {
  const notYet = (step: number) => (step < 0 ? 1 : ((curve.points[step] ?? curve.points.at(-1))?.notYet ?? 0))
  return (
    <svg className={styles.small} height={HEIGHT} aria-hidden="true" focusable="false">
      <line x1="0" x2="100%" y1={HEIGHT - 0.5} y2={HEIGHT - 0.5} className={styles.base} />
      {days.domain().map((step) => {
        const isRest = step === DAYS
        const share = isRest ? notYet(DAYS - 1) : notYet(step - 1) - notYet(step)
        const tall = height(Math.max(0, share))
        if (tall < 0.5) return null
        return (
          <rect
            key={step}
            className={isRest ? styles.rest : styles.bar}
            data-median={step === curve.medianSteps}
            x={`${(days(step) ?? 0).toFixed(2)}%`}
            width={`${days.bandwidth().toFixed(2)}%`}
            y={(HEIGHT - tall - 1).toFixed(2)}
            height={tall.toFixed(2)}
          />
        )
      })}
    </svg>
  )
}
