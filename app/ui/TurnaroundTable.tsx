import { useTranslate } from '#translate'
import type { Translate } from '@/lib/messages/translate'
import type { PooledTurnaround, Turnaround } from '@/lib/store/read/figures/turnaround'
import table from './Table.module.css'
import { formatTableDuration } from './words/duration'

type Times = Turnaround['parts'][number]
type Row = { name: Times['name']; times: Times | null }

/** Over what a table stands where it is of one plant, or of all. */
export const LAST_YEAR_CAPTION = 'Over the samples whose kits went out in the last twelve months'

/** How long each part of the way takes; parts still open count as lasting at least until now. */
export function TurnaroundTable({
  times,
  caption,
}: {
  times: Turnaround | PooledTurnaround
  caption: string
}) {
  const t = useTranslate()
  const rows: Row[] = times.parts.map((part) => ('times' in part ? part : { name: part.name, times: part }))
  return (
    <>
      <table className={`${table.table} ${table.narrow}`}>
        <caption>{caption}</caption>
        <thead>
          <tr>
            <th scope="col">Part</th>
            <th scope="col" className={table.number}>
              Half within
            </th>
            <th scope="col" className={table.number}>
              Nine of ten within
            </th>
            <th scope="col" className={table.number}>
              Over
            </th>
            <th scope="col" className={table.number}>
              Not over
            </th>
          </tr>
        </thead>
        <tbody>
          {rows.map(({ name, times: part }) => (
            <tr key={name}>
              <th scope="row">{formatPartName(t, name)}</th>
              {part === null ? (
                <td colSpan={4} className={table.number}>
                  <i>{WITHHELD}</i>
                </td>
              ) : (
                <PartCells part={part} />
              )}
            </tr>
          ))}
        </tbody>
      </table>
      <p className="prose">
        Samples of which a part is not over are counted as taking at least as long as they have, and those
        lost or returned as never ending it, so that the slow ones are not forgotten. “Not reached” says that
        too many are not over to tell. {formatLeftOut(t, rows)}
      </p>
    </>
  )
}

function PartCells({ part }: { part: Times }) {
  const t = useTranslate()
  const isEmpty = part.closed + part.open === 0
  const time = (hours: number | null) =>
    isEmpty ? 'none yet' : hours === null ? 'not reached' : formatTableDuration(t, hours)
  return (
    <>
      <td className={table.number}>{time(part.medianHours)}</td>
      <td className={table.number}>{isEmpty ? '' : time(part.p90Hours)}</td>
      <td className={table.number}>{part.closed.toLocaleString('en-GB')}</td>
      <td className={table.number}>{part.open.toLocaleString('en-GB')}</td>
    </>
  )
}

function formatLeftOut(t: Translate, rows: readonly Row[]): string {
  const told = rows.flatMap(({ times }) => times ?? [])
  const sum = (key: 'notReported' | 'outOfOrder') => told.reduce((total, part) => total + part[key], 0)
  const [notReported, outOfOrder] = [sum('notReported'), sum('outOfOrder')]
  if (notReported + outOfOrder === 0) return ''
  return `Left out: ends never reported ${notReported.toLocaleString('en-GB')}, ends dated before their beginning ${outOfOrder.toLocaleString('en-GB')}.`
}

type PartName = Turnaround['parts'][number]['name']

const PART_LABELS: Record<PartName, string> = {
  'kit out': 'kit issued to cut',
  cut: 'made to cut',
  ship: 'cut to hand-over',
  transit: 'on the way',
  dock: 'delivered to received',
  'wait for chamber': 'received to chamber',
  'test and report': 'chamber to report',
  'receipt to report': 'received to report, in all',
}

/** What a part of a sample's way is called, as the head of a row. */
function formatPartName(t: Translate, name: PartName): string {
  return PART_LABELS[name]
}

const WITHHELD = 'withheld'

/** A count, or that it is not told; the head of the page says why. */
export function CountOrWithheld({ count }: { count: number | null }) {
  return count === null ? <i>{WITHHELD}</i> : count.toLocaleString('en-GB')
}
