import { useTranslate } from '#translate'
import { Instant } from '@/app/ui/Instant'
import table from '@/app/ui/Table.module.css'
import { formatInstant } from '@/app/ui/words/instant'
import type { RecentRequests } from '@/lib/telemetry/recentRequests'
import styles from './ServerReport.module.css'

const MAX_SHOWN = 20

/** The requests of the last minutes of this process, and those that were slow. `now` in ms UTC. */
export function RequestSection({ requests, now }: { requests: RecentRequests; now: number }) {
  const t = useTranslate()
  const { count, failed, sinceAt, slow } = requests
  return (
    <section>
      <h2>{t('serverPage.requests.heading')}</h2>
      <p>
        {t('serverPage.requests.count', { count, failed, since: formatInstant(t, sinceAt, 'UTC', now) })}{' '}
        {slow.length === 0 && t('serverPage.requests.noneSlow')}
      </p>
      {slow.length > 0 && <SlowTable slow={slow.slice(0, MAX_SHOWN)} now={now} />}
    </section>
  )
}

function SlowTable({ slow, now }: { slow: RecentRequests['slow']; now: number }) {
  const t = useTranslate()
  return (
    <table className={`${table.table} ${table.stack}`}>
      <caption>{t('serverPage.requests.caption')}</caption>
      <thead>
        <tr>
          <th scope="col">{t('serverPage.requests.route')}</th>
          <th scope="col">{t('serverPage.requests.took')}</th>
          <th scope="col">{t('serverPage.requests.status')}</th>
          <th scope="col">{t('serverPage.requests.when')}</th>
          <th scope="col">{t('serverPage.requests.name')}</th>
        </tr>
      </thead>
      <tbody>
        {slow.map(({ id, method, route, status, tookMs, at }) => (
          <tr key={id}>
            <th scope="row">
              <code>
                {method} {route}
              </code>
            </th>
            <td data-head={t('serverPage.requests.took')} className={styles.took}>
              {t('serverPage.requests.seconds', {
                seconds: t.number(tookMs / 1000, { maximumFractionDigits: 1 }),
              })}
            </td>
            <td data-head={t('serverPage.requests.status')}>
              {status ?? t('serverPage.requests.brokenOff')}
            </td>
            <td data-head={t('serverPage.requests.when')}>
              <Instant at={at} zone="UTC" now={now} />
            </td>
            <td data-head={t('serverPage.requests.name')}>
              <code>{id}</code>
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}
