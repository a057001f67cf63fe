import { useTranslate } from '#translate'
import { Instant } from '@/app/ui/Instant'
import { Link } from '@/app/ui/Link'
import { rich } from '@/app/ui/language/rich'
import table from '@/app/ui/Table.module.css'
import { formatRoughDuration } from '@/app/ui/words/duration'
import { formatLongInstant } from '@/app/ui/words/instant'
import type { MessageKey } from '@/lib/messages/message'
import type { Check, CheckName } from '@/lib/store/server/checks'
import type { ServerState } from '@/lib/store/server/serverState'
import type { RecentRequests } from '@/lib/telemetry/recentRequests'
import { FactTable } from './FactTable'
import { RequestSection } from './RequestSection'
import styles from './ServerReport.module.css'
import { formatBytes } from './sizes'

/**
 * The server, for an administrator who is not its technician. They open it on a Monday to be sure, for ten seconds; or
 * worried, because a page was slow, a mail did not come or someone on the telephone says so, often on a phone. So the
 * first sentence says whether all is right, then what is not and what to do. They do that, or ring whoever runs the
 * machine and read out what stands below. Times are UTC, as in the log. `now` in ms UTC.
 */
export function ServerReport({
  state,
  requests,
  now,
}: {
  state: ServerState
  requests: RecentRequests
  now: number
}) {
  const t = useTranslate()
  const { checks, at } = state.readiness
  const troubles = checks.filter((check) => check.state !== 'ok')
  return (
    <>
      <h1>{t('serverPage.title')}</h1>
      <div className="prose">
        <p>
          {describeVerdict(t, checks)}{' '}
          {rich(t, 'serverPage.asOf', {
            time: <time dateTime={new Date(at).toISOString()}>{formatLongInstant(t, at, 'UTC', now)}</time>,
          })}
        </p>
        {troubles.length > 0 && (
          <ul className={styles.troubles}>
            {troubles.map(({ name, says, advice }) => (
              <li key={name}>
                <b>{t.message(says)}</b>
                {advice && t.message(advice)}
              </li>
            ))}
          </ul>
        )}
      </div>
      <CheckTable checks={checks} />
      <DatabaseFacts state={state} />
      <MailFacts state={state} now={now} />
      <BackupFacts state={state} now={now} />
      <ProcessFacts state={state} now={now} />
      <RequestSection requests={requests} now={now} />
    </>
  )
}

type Translator = ReturnType<typeof useTranslate>

function describeVerdict(t: Translator, checks: readonly Check[]): string {
  if (checks.some(({ state }) => state === 'failed')) return t('serverPage.failed')
  const count = checks.filter(({ state }) => state === 'warning').length
  return count === 0 ? t('serverPage.allRight') : t('serverPage.attention', { count })
}

const PARTS = {
  database: 'serverPage.part.database',
  migrations: 'serverPage.part.migrations',
  queue: 'serverPage.part.queue',
  mail: 'serverPage.part.mail',
  disk: 'serverPage.part.disk',
  backup: 'serverPage.part.backup',
} as const satisfies Record<CheckName, MessageKey>

function CheckTable({ checks }: { checks: readonly Check[] }) {
  const t = useTranslate()
  return (
    <table className={`${table.table} ${table.narrow} ${table.stack} ${styles.facts}`}>
      <caption>{t('serverPage.checks.caption')}</caption>
      <thead>
        <tr>
          <th scope="col">{t('serverPage.checks.part')}</th>
          <th scope="col">{t('serverPage.checks.finding')}</th>
        </tr>
      </thead>
      <tbody>
        {checks.map(({ name, state, says }) => (
          <tr key={name}>
            <th scope="row">{t(PARTS[name])}</th>
            <td className={state === 'ok' ? undefined : table.lapsed}>{t.message(says)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

function DatabaseFacts({ state: { database, migration, writers } }: { state: ServerState }) {
  const t = useTranslate()
  const connections = t('serverPage.database.connectionCount', {
    count: t.number(database.connections),
    most: t.number(database.maxConnections),
  })
  return (
    <FactTable
      heading={t('serverPage.database.heading')}
      facts={[
        [t('serverPage.database.version'), <code key="version">{database.version}</code>],
        [t('serverPage.database.name'), <code key="name">{database.name}</code>],
        [t('serverPage.database.size'), formatBytes(t, database.bytes)],
        [t('serverPage.database.connections'), connections],
        [t('serverPage.database.migration'), <code key="migration">{migration}</code>],
        [
          t('serverPage.database.writer'),
          writers.isWorking
            ? t('serverPage.database.writerBusy', { waiting: writers.waiting })
            : t('serverPage.database.writerIdle'),
        ],
        [t('serverPage.database.refused'), t.number(writers.refused)],
      ]}
    />
  )
}

function MailFacts({ state, now }: { state: ServerState; now: number }) {
  const t = useTranslate()
  const { mails } = state.readiness.facts
  if (mails === null) return null
  return (
    <>
      <FactTable
        heading={t('serverPage.mail.heading')}
        facts={[
          [t('serverPage.mail.last'), <InstantOrNever key="last" at={mails.lastSentAt} now={now} />],
          [t('serverPage.mail.waiting'), t.number(mails.counts.waiting)],
          [t('serverPage.mail.doubt'), t.number(mails.inDoubt)],
          [t('serverPage.mail.givenUp'), t.number(mails.givenUp)],
          [t('serverPage.mail.polled'), <InstantOrNever key="polled" at={mails.polledAt} now={now} />],
        ]}
      />
      <p>{rich(t, 'serverPage.mail.more', { link: (text) => <Link href="/digest">{text}</Link> })}</p>
    </>
  )
}

function BackupFacts({ state, now }: { state: ServerState; now: number }) {
  const t = useTranslate()
  const { backup } = state.readiness.facts
  const { backups: folder } = state.folders
  if (backup === null) return null
  const { lastGoodAt, file, bytes, lastFault, scheduledSince } = backup
  return (
    <FactTable
      heading={t('serverPage.backup.heading')}
      facts={[
        [
          t('serverPage.backup.last'),
          lastGoodAt === null
            ? t('serverPage.never')
            : rich(t, 'serverPage.backup.lastAge', {
                time: <Instant key="last" at={lastGoodAt} zone="UTC" now={now} />,
                age: formatRoughDuration(t, Math.max(0, now - lastGoodAt)),
              }),
        ],
        [t('serverPage.backup.file'), file && <code key="file">{file}</code>],
        [t('serverPage.backup.size'), bytes && formatBytes(t, bytes)],
        [t('serverPage.backup.fault'), lastFault && <span lang="en">{lastFault.reason}</span>],
        [
          t('serverPage.backup.folder'),
          folder && scheduledSince !== null
            ? rich(t, 'serverPage.backup.kept', {
                path: folder,
                count: state.keptBackups,
                folder: (text) => <code key="folder">{text}</code>,
              })
            : t('serverPage.backup.notScheduled'),
        ],
      ]}
    />
  )
}

function ProcessFacts({ state, now }: { state: ServerState; now: number }) {
  const t = useTranslate()
  const { disk, startedAt } = state.readiness.facts
  const { data, logs } = state.folders
  return (
    <FactTable
      heading={t('serverPage.process.heading')}
      facts={[
        [t('serverPage.process.version'), <code key="version">{state.version}</code>],
        [t('serverPage.process.node'), <code key="node">{state.node}</code>],
        [t('serverPage.process.since'), <Instant key="since" at={startedAt} zone="UTC" now={now} />],
        [
          t('serverPage.process.disk'),
          disk &&
            t('serverPage.process.diskRoom', {
              free: formatBytes(t, disk.free),
              total: formatBytes(t, disk.total),
            }),
        ],
        [t('serverPage.process.data'), <code key="data">{data}</code>],
        [
          t('serverPage.process.logs'),
          logs ? <code key="logs">{logs}</code> : t('serverPage.process.noLogs'),
        ],
        [
          t('serverPage.process.seen'),
          state.seen.length > 0 ? t.list(state.seen) : t('serverPage.process.nobody'),
        ],
      ]}
    />
  )
}

function InstantOrNever({ at, now }: { at: number | null; now: number }) {
  const t = useTranslate()
  return at === null ? t('serverPage.never') : <Instant at={at} zone="UTC" now={now} />
}
