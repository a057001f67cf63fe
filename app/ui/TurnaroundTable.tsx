import { useTranslate } from '#translate'
import type { MessageKey } from '@/lib/messages/message'
import type { Translate } from '@/lib/messages/translate'
import type { PooledTurnaround, Turnaround } from '@/lib/store/read/figures/turnaround'
import table from './Table.module.css'
import { formatTableDuration } from './words/duration'

type Times = Turnaround['parts'][number]
type Row = { name: Times['name']; times: Times | null }

/** How long each stage of a sample's way takes. */
export function TurnaroundTable({
  times,
  caption,
}: {
  times: Turnaround | PooledTurnaround
  /** Which samples it is over; all of the page by default. */
  caption?: string
}) {
  const t = useTranslate()
  const rows: Row[] = times.parts.map((part) => ('times' in part ? part : { name: part.name, times: part }))
  const title = caption ?? t('turnaround.caption')
  return (
    <>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls is reached by the keyboard, WCAG 2.1.1 */}
      <section className={table.scroll} aria-label={title} tabIndex={0}>
        <table className={`${table.table} ${table.narrow}`}>
          <caption>{title}</caption>
          <thead>
            <tr>
              <th scope="col">{t('turnaround.column.stage')}</th>
              <th scope="col" className={table.number}>
                {t('turnaround.column.median')}
              </th>
              <th scope="col" className={table.number}>
                {t('turnaround.column.p90')}
              </th>
              <th scope="col" className={table.number}>
                {t('turnaround.column.finished')}
              </th>
              <th scope="col" className={table.number}>
                {t('turnaround.column.inProgress')}
              </th>
            </tr>
          </thead>
          <tbody>
            {rows.map(({ name, times: part }) => (
              <tr key={name}>
                <th scope="row">{t(STAGE_LABELS[name])}</th>
                {part === null ? (
                  <td colSpan={4} className={table.number}>
                    <i>{t('turnaround.withheld')}</i>
                  </td>
                ) : (
                  <PartCells part={part} />
                )}
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      <p className="prose">
        {t('turnaround.about')} {formatLeftOut(t, rows)}
      </p>
    </>
  )
}

function PartCells({ part }: { part: Times }) {
  const t = useTranslate()
  const isEmpty = part.closed + part.open === 0
  const time = (hours: number | null) =>
    isEmpty
      ? t('turnaround.noneYet')
      : hours === null
        ? t('turnaround.notReached')
        : formatTableDuration(t, hours)
  return (
    <>
      <td className={table.number}>{time(part.medianHours)}</td>
      <td className={table.number}>{isEmpty ? '' : time(part.p90Hours)}</td>
      <td className={table.number}>{t.number(part.closed)}</td>
      <td className={table.number}>{t.number(part.open)}</td>
    </>
  )
}

function formatLeftOut(t: Translate, rows: readonly Row[]): string {
  const shown = rows.flatMap(({ times }) => times ?? [])
  const sum = (key: 'notReported' | 'outOfOrder') => shown.reduce((total, part) => total + part[key], 0)
  const [notReported, outOfOrder] = [sum('notReported'), sum('outOfOrder')]
  if (notReported + outOfOrder === 0) return ''
  return t('turnaround.leftOut', { notReported, outOfOrder })
}

const STAGE_LABELS = {
  'kit out': 'stage.issuedToCut',
  cut: 'turnaround.stage.cut',
  ship: 'stage.cutToHandOver',
  transit: 'stage.transit',
  dock: 'turnaround.stage.dock',
  'wait for chamber': 'stage.dockToChamber',
  'test and report': 'stage.chamberToReport',
  'receipt to report': 'turnaround.stage.receiptToReport',
} as const satisfies Record<Times['name'], MessageKey>

/** A count, or "withheld"; the head of the page says why. */
export function CountOrWithheld({ count }: { count: number | null }) {
  const t = useTranslate()
  return count === null ? <i>{t('turnaround.withheld')}</i> : t.number(count)
}
