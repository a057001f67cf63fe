import { useTranslate } from '#translate'
import { Pagination } from '@/app/audit/Pagination'
import { formatDay, formatLongInstant } from '@/app/ui/words/instant'
import { spellFirstNumber } from '@/app/ui/words/number'
import type { Translate } from '@/lib/messages/translate'
import { formatZone } from '@/lib/messages/zoneName'
import type { PlantHistory } from '@/lib/store/read/plant/plantHistory'
import { Link } from '../../../ui/Link'
import { rich } from '../../../ui/language/rich'
import { SettledTable } from '../SettledTable'
import styles from './HistoryReport.module.css'

/** A page of a plant's settled samples, and the link to all of them as CSV. Every day is the plant's own. */
export function HistoryReport({
  page,
  isOlder,
  isWhole,
}: {
  page: PlantHistory
  isOlder: boolean
  /** The reader may see all samples of the plant. */
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
        <h1>{t('plants.history.title', { plant: plant.name })}</h1>
        <p className="prose">
          {t('plants.history.about')}{' '}
          {total > 0 &&
            t('plants.history.count', {
              count: total,
              spelled: spellFirstNumber(t, total),
              place: formatZone(plant.zone),
            })}{' '}
          {!isWhole && t('plants.history.ownOnly')}{' '}
          {rich(t, 'plants.history.underWay', {
            link: (text) => <Link href={plantPath}>{text}</Link>,
            plant: plant.name,
          })}
        </p>
        {total > 0 && (
          <p className="prose">
            {rich(t, 'plants.history.csv', {
              link: (text) => (
                <a href={`/api${path}`} download={`${plant.code}-settled-samples.csv`}>
                  {text}
                </a>
              ),
              count: total,
            })}
          </p>
        )}
      </div>
      {rows.length > 0 ? (
        <SettledTable rows={rows} caption={formatCaption(t, page)} zone={plant.zone} now={asOf} />
      ) : (
        <p className="prose">{t(total > 0 ? 'plants.history.pastLast' : 'plants.settled.none')}</p>
      )}
      <Pagination newest={path} isOlder={isOlder} olderThan={olderThan} />
    </>
  )
}

/** The samples on the page: "50 of 412 settled samples, from Tue 3 Nov back to Mon 12 Oct, …". */
function formatCaption(t: Translate, { rows, total, plant, asOf }: PlantHistory): string {
  const formatSettled = (row: PlantHistory['rows'][number] | undefined) =>
    row?.settledAt == null ? '' : formatDay(t, row.settledAt, plant.zone, asOf)
  const [from, to] = [formatSettled(rows[0]), formatSettled(rows.at(-1))]
  const values = { count: rows.length, total }
  return from === to
    ? t('plants.history.captionDay', { ...values, day: from })
    : t('plants.history.captionDays', { ...values, from, to })
}
