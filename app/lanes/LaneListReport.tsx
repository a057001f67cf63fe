import { scaleBand, scaleSqrt } from 'd3-scale'
import { useTranslate } from '#translate'
import filters from '@/app/ui/Filters.module.css'
import { Link } from '@/app/ui/Link'
import table from '@/app/ui/Table.module.css'
import { TurnaroundTable } from '@/app/ui/TurnaroundTable'
import { formatLongInstant } from '@/app/ui/words/instant'
import { formatPercent, formatShipmentCount, formatSlowRule, formatStepCell } from '@/app/ui/words/laneText'
import { spellCount, spellNumber } from '@/app/ui/words/number'
import type { Translate } from '@/lib/messages/translate'
import { capitalised } from '@/lib/schedule/firstLetter'
import type { Turnaround } from '@/lib/store/read/figures/turnaround'
import type { LaneFilter, LaneList } from '@/lib/store/read/lanes/laneList'
import type { LanePage } from '@/lib/store/read/lanes/lanePage'
import styles from './Lanes.module.css'
import { laneHref } from './laneAddress'
import { PaceStatus } from './PaceStatus'

/** The lanes of whoever asks, the most worrying first, and how long each part of the way takes. */
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
      <h1 className={styles.heading}>{formatLaneHeading(t, list, isFiltered)}</h1>
      <p className="prose">
        A lane is one plant to one laboratory by one carrier service. Its time is counted in the laboratory’s
        open days after the day of hand-over; what travels under one waybill is one shipment.
      </p>
      {hasAny && <LaneFilters choices={choices} filter={filter} isFiltered={isFiltered} />}
      {lanes.length > 0 && <LaneTable lanes={lanes} asOf={asOf} />}
      {lanes.length === 0 && isFiltered && (
        <p>
          No lane fits. <Link href="/lanes">See all</Link>
        </p>
      )}
      {!hasAny && (
        <p className="prose">
          Nothing has been handed over to a carrier yet. The first sample that is stands here as the first
          shipment of its lane.
        </p>
      )}
      <h2>How long each part of the way takes</h2>
      <TurnaroundTable times={times} caption={formatTurnaroundCaption(t, list, filter)} />
    </>
  )
}

function formatLaneHeading(t: Translate, { lanes, choices }: LaneList, isFiltered: boolean): string {
  if (lanes.length === 0) return choices.plant.length > 0 ? 'No lane fits.' : 'No shipment yet.'
  const of = isFiltered ? 'of the lanes asked for' : `of ${spellCount(t, lanes.length, 'lane')}`
  const slower = lanes.filter(({ figures }) => figures.isNewlySlower).length
  if (slower > 0)
    return `${capitalised(spellNumber(t, slower))} ${of} ${slower === 1 ? 'has' : 'have'} become slower in the last three months.`
  const breaking = lanes.filter(({ figures }) => figures.slowBreaks.length > 0).length
  if (breaking > 0)
    return `No lane has surely become slower; ${spellNumber(t, breaking)} ${of} ${breaking === 1 ? 'looks' : 'look'} slow of late.`
  return lanes.length === 1
    ? 'This lane keeps its pace.'
    : `None ${of} has become slower in the last three months.`
}

function formatTurnaroundCaption(
  t: Translate,
  { choices }: LaneList,
  { plant, laboratory }: LaneFilter,
): string {
  const name = (key: 'plant' | 'laboratory', code: string | undefined) =>
    choices[key].find((one) => one.code === code)?.name ?? code
  const places = [
    plant && `from ${name('plant', plant)}`,
    laboratory && `to ${name('laboratory', laboratory)}`,
  ]
  const which = places.filter(Boolean).join(' ')
  return `Over the samples ${which || 'of yours to see'} whose kits went out in the last twelve months, by whatever service`
}

const FIELDS = [
  ['plant', 'From', 'any plant'],
  ['laboratory', 'To', 'any laboratory'],
  ['service', 'By', 'any service'],
] as const

/** Which lanes to see, as a plain form kept in the address. */
function LaneFilters({
  choices,
  filter,
  isFiltered,
}: {
  choices: LaneList['choices']
  filter: LaneFilter
  isFiltered: boolean
}) {
  return (
    <search className={styles.search}>
      <form action="/lanes" className={filters.filters}>
        {FIELDS.filter(([key]) => choices[key].length > 1 || filter[key] !== undefined).map(
          ([key, label, any]) => (
            <label key={key}>
              <span>{label}</span>
              <select name={key} defaultValue={filter[key] ?? ''}>
                <option value="">{any}</option>
                {choices[key].map(({ code, name }) => (
                  <option key={code} value={code}>
                    {name}
                  </option>
                ))}
              </select>
            </label>
          ),
        )}
        {choices.plant.length + choices.laboratory.length + choices.service.length > 3 && (
          <button type="submit">Show</button>
        )}
        {isFiltered && <a href="/lanes">Clear</a>}
      </form>
    </search>
  )
}

type Line = LaneList['lanes'][number]

/** A line for each lane. */
function LaneTable({ lanes, asOf }: { lanes: readonly Line[]; asOf: number }) {
  return (
    <table className={`${table.table} ${styles.lanes} ${styles.list}`}>
      <caption>
        Those that became slower in the last three months first, then those whose latest weeks break a rule on
        the slow side, then by the share that never arrived.
      </caption>
      <thead>
        <tr>
          <th scope="col">Lane</th>
          <th scope="col">Pace</th>
          <th scope="col" className={table.number}>
            Half within
          </th>
          <th scope="col" className={table.number}>
            Nine of ten within
          </th>
          <th scope="col">
            <span className="unseen">On which open day they arrive, as a picture</span>
          </th>
          <th scope="col" className={table.number}>
            Never arrived
          </th>
          <th scope="col" className={table.number}>
            Shipments
          </th>
        </tr>
      </thead>
      <tbody>
        {lanes.map((lane) => (
          <LaneRow key={laneHref(lane)} lane={lane} asOf={asOf} />
        ))}
      </tbody>
    </table>
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
          {plant.name} to {laboratory.name}
        </Link>
        <span className={table.quiet}>{service?.name ?? 'no service named'}</span>
      </th>
      <td className={styles.pace}>
        <PaceStatus figures={figures} zone={plant.zone} now={asOf} />
        {slowBreaks.length > 0 && (
          <span className={styles.slow}>
            of late {slowBreaks.map((one) => formatSlowRule(t, one)).join('; ')}
          </span>
        )}
      </td>
      <td className={table.number} data-head="half within">
        {curve ? formatStepCell(t, curve.medianSteps) : 'none arrived yet'}
      </td>
      <td className={table.number} data-head="nine of ten within">
        {curve ? formatStepCell(t, curve.p90Steps) : ''}
      </td>
      <td className={styles.bars}>{curve && <ArrivalBars curve={curve} />}</td>
      <td className={table.number} data-head="never arrived">
        {counts.never > 0 ? formatPercent(t, counts.never / counts.all) : 'none'}
      </td>
      <td className={table.number} data-head="shipments">
        {formatShipmentCount(t, counts.all)}
        {borrowedShare !== null && borrowedShare > 0.5 && (
          <span className={table.quiet}>times mostly from other lanes</span>
        )}
      </td>
    </tr>
  )
}

type Curve = NonNullable<LanePage['figures']['curve']>

/** The same days for every lane, so that one can be held against another. */
const DAYS = 12
const HEIGHT = 28
const days = scaleBand<number>()
  .domain(Array.from({ length: DAYS + 1 }, (_, step) => step))
  .range([0, 100])
  .paddingInner(0.2)
// Areas of small shares must be seen beside large ones.
const height = scaleSqrt()
  .domain([0, 1])
  .range([0, HEIGHT - 2])

/** On which open day shipments arrive: a bar for each from 0 on, the last one in brick for later or never. */
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
