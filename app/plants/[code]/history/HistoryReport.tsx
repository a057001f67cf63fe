import { useTranslate } from '#translate'
import { Pagination } from '@/app/audit/Pagination'
import { formatDay, formatLongInstant } from '@/app/ui/words/instant'
import { spellCount } from '@/app/ui/words/number'
import type { Translate } from '@/lib/messages/translate'
import { capitalised } from '@/lib/schedule/firstLetter'
import { formatZone } from '@/lib/schedule/zoneName'
import type { PlantHistory } from '@/lib/store/read/plant/plantHistory'
import { Link } from '../../../ui/Link'
import { SettledTable } from '../SettledTable'
import styles from './HistoryReport.module.css'

/** A page of a plant's settled samples, and the way to all of them as CSV. Every day on it is the plant's own. */
export function HistoryReport({
  page,
  isOlder,
  isWhole,
}: {
  page: PlantHistory
  isOlder: boolean
  /** All of the plant's are the reader's to see. */
  isWhole: boolean
}) {
  const t = useTranslate()
  const { plant, rows, total, asOf, olderThan } = page
  const plantPath = `/plants/${encodeURIComponent(plant.code)}`
  const path = `${plantPath}/history`
  return (
    <>
      <div className={styles.head}>
        <p className={styles.when}>
          <time dateTime={new Date(asOf).toISOString()}>{formatLongInstant(t, asOf, plant.zone, asOf)}</time>
        </p>
        <h1>Settled samples of {plant.name}</h1>
        <p className="prose">
          A sample is settled once its last hold limit has stopped, its report is issued, or it ended early.{' '}
          {total > 0 &&
            `${capitalised(spellCount(t, total, 'sample'))} ${total === 1 ? 'is' : 'are'} settled. Days are those of ${formatZone(plant.zone)}. `}
          {!isWhole && 'Only samples that go to your laboratory are shown. '}
          What is under way is on the page of <Link href={plantPath}>{plant.name}</Link>.
        </p>
        {total > 0 && (
          <p className="prose">
            <a href={`/api${path}`} download={`${plant.code}-settled-samples.csv`}>
              {total === 1 ? 'This one' : `All ${total.toLocaleString('en-GB')}`} as CSV
            </a>
            , with the time of each milestone in UTC. A cell that a spreadsheet would take for a formula
            begins there with an apostrophe.
          </p>
        )}
      </div>
      {rows.length > 0 ? (
        <SettledTable rows={rows} caption={formatCaption(t, page)} zone={plant.zone} now={asOf} />
      ) : (
        <p className="prose">
          {total > 0
            ? 'No settled sample is older than that: this is past the last page.'
            : 'No sample of this plant is settled yet.'}
        </p>
      )}
      <Pagination newest={path} isOlder={isOlder} olderThan={olderThan} />
    </>
  )
}

/** Which of them stand on the page: "50 of 412, settled from Tue 3 Nov back to Mon 12 Oct". */
function formatCaption(t: Translate, { rows, total, plant, asOf }: PlantHistory): string {
  const day = (row: PlantHistory['rows'][number] | undefined) =>
    row?.settledAt == null ? '' : formatDay(t, row.settledAt, plant.zone, asOf)
  const [from, to] = [day(rows[0]), day(rows.at(-1))]
  const many =
    rows.length < total ? `${rows.length} of ${total.toLocaleString('en-GB')}, settled ` : 'Settled '
  return `${many}${from === to ? from : `from ${from} back to ${to}`}, with how long each stage took`
}
