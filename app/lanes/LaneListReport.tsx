import { Link } from '@/app/ui/Link'
import { TurnaroundTable } from '@/app/ui/TurnaroundTable'
import { headingInstant } from '@/app/ui/words/instantWords'
import { capitalised, countOf, numberWords } from '@/app/ui/words/numberWords'
import type { Turnaround } from '@/lib/store/read/figures/turnaround'
import type { LaneFilter, LaneList } from '@/lib/store/read/lanes/laneList'
import { LaneFilters } from './LaneFilters'
import styles from './Lanes.module.css'
import { LaneTable } from './LaneTable'

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
  const { asOf, lanes, choices } = list
  const isFiltered = Object.values(filter).some((one) => one !== undefined)
  const hasAny = choices.plant.length > 0
  return (
    <>
      <p className={styles.when}>{headingInstant(asOf, 'UTC', asOf)}</p>
      <h1 className={styles.heading}>{headingWords(list, isFiltered)}</h1>
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
      <TurnaroundTable times={times} caption={captionOf(list, filter)} />
    </>
  )
}

function headingWords({ lanes, choices }: LaneList, isFiltered: boolean): string {
  if (lanes.length === 0) return choices.plant.length > 0 ? 'No lane fits.' : 'No shipment yet.'
  const of = isFiltered ? 'of the lanes asked for' : `of ${countOf(lanes.length, 'lane')}`
  const slower = lanes.filter(({ figures }) => figures.isNewlySlower).length
  if (slower > 0)
    return `${capitalised(numberWords(slower))} ${of} ${slower === 1 ? 'has' : 'have'} become slower in the last three months.`
  const breaking = lanes.filter(({ figures }) => figures.slowBreaks.length > 0).length
  if (breaking > 0)
    return `No lane has surely become slower; ${numberWords(breaking)} ${of} ${breaking === 1 ? 'looks' : 'look'} slow of late.`
  return lanes.length === 1
    ? 'This lane keeps its pace.'
    : `None ${of} has become slower in the last three months.`
}

function captionOf({ choices }: LaneList, { plant, laboratory }: LaneFilter): string {
  const name = (key: 'plant' | 'laboratory', code: string | undefined) =>
    choices[key].find((one) => one.code === code)?.name ?? code
  const places = [
    plant && `from ${name('plant', plant)}`,
    laboratory && `to ${name('laboratory', laboratory)}`,
  ]
  const which = places.filter(Boolean).join(' ')
  return `Over the samples ${which || 'of yours to see'} whose kits went out in the last twelve months, by whatever service`
}
