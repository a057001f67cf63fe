import { useTranslate } from '#translate'
import { Day, Instant } from '@/app/ui/Instant'
import { Link } from '@/app/ui/Link'
import { rich } from '@/app/ui/language/rich'
import table from '@/app/ui/Table.module.css'
import type { listReaders, previewNextMail, readSentMail } from '@/lib/digest/delivery/shownMails'
import type { MessageKey } from '@/lib/messages/message'
import type { readDigestTime } from '@/lib/store/mail/digestTime'
import type { listMails, listRejectedAddresses } from '@/lib/store/mail/mailStatus'
import styles from './DigestReport.module.css'
import { describeOccasion, describeStatus } from './mailText'
import { MailFigure, SentMail, type SentMailProps } from './SentMail'

interface Props {
  next: Awaited<ReturnType<typeof previewNextMail>>
  /** The past mail that was asked for. */
  sent: Awaited<ReturnType<typeof readSentMail>>
  resend: SentMailProps['resend']
  past: Awaited<ReturnType<typeof listMails>>
  /** Whether `past` has weekly mails only. */
  isWeekly: boolean
  /** Empty unless for an administrator. */
  rejected: Awaited<ReturnType<typeof listRejectedAddresses>>
  /** Everyone, for an administrator; else empty. */
  readers: Awaited<ReturnType<typeof listReaders>>
  /** Id of the person whose mail is shown. */
  shown: string
  /** Id of the person whose past mails were asked for; null: everyone's. */
  pastPersonId: string | null
  /** When the weekly mail goes; null if the reader may not set it. */
  time: Awaited<ReturnType<typeof readDigestTime>> | null
  now: number
}

/** The next weekly mail of a person, and past mails. */
export function DigestReport({
  next,
  sent,
  resend,
  past,
  isWeekly,
  rejected,
  readers,
  shown,
  pastPersonId,
  time,
  now,
}: Props) {
  const t = useTranslate()
  return (
    <>
      <h1>{t('mailPage.title')}</h1>
      <RejectedAddresses rejected={rejected} now={now} />
      {time && <TimeForm time={time} />}
      {readers.length > 0 && (
        <form method="get" action="/digest">
          <p className={styles.line}>
            <label>
              {t('mailPage.reader.label')}{' '}
              <select name="of" defaultValue={shown}>
                {readers.map(({ id, name, email }) => (
                  <option key={id} value={id}>
                    {t('mailPage.reader.option', { name, email })}
                  </option>
                ))}
              </select>
            </label>{' '}
            <button type="submit">{t('mailPage.reader.show')}</button>
          </p>
        </form>
      )}
      {sent ? (
        <SentMail mail={sent} resend={resend} now={now} />
      ) : (
        <NextMail next={next} of={shown} now={now} />
      )}
      <PastMails past={past} isWeekly={isWeekly} of={pastPersonId} now={now} />
    </>
  )
}

function NextMail({ next, of, now }: Pick<Props, 'next' | 'now'> & { of: string }) {
  const t = useTranslate()
  return (
    <section aria-labelledby="next">
      <h2 id="next">{t('mailPage.next.title')}</h2>
      {next === null ? (
        <p>{t('mailPage.next.none')}</p>
      ) : (
        <>
          <p>
            {rich(t, 'mailPage.next.for', {
              name: next.name,
              week: next.week,
              address: next.address,
              time: <Instant at={next.dueAt} zone={next.zone} now={now} />,
            })}{' '}
            {next.isWanted ? next.text === null && t('mailPage.next.empty') : t('mailPage.next.stopped')}
          </p>
          {next.text !== null && (
            <MailFigure subject={next.subject ?? ''} text={next.text} of={of} occasion={null} />
          )}
        </>
      )}
    </section>
  )
}

/** From Monday (1) to Sunday (7). */
const WEEKDAYS: readonly Extract<MessageKey, `setup.weekday.${string}`>[] = [
  'setup.weekday.mon',
  'setup.weekday.tue',
  'setup.weekday.wed',
  'setup.weekday.thu',
  'setup.weekday.fri',
  'setup.weekday.sat',
  'setup.weekday.sun',
]

function TimeForm({ time: { weekday, minuteOfDay } }: { time: NonNullable<Props['time']> }) {
  const t = useTranslate()
  const pad = (value: number) => String(value).padStart(2, '0')
  return (
    <form method="post" action="/api/digest/time">
      <p className={styles.line}>
        <label>
          {t('mailPage.time.weekday')}{' '}
          <select name="weekday" defaultValue={weekday}>
            {WEEKDAYS.map((key, index) => (
              <option key={key} value={index + 1}>
                {t(key)}
              </option>
            ))}
          </select>
        </label>{' '}
        <label>
          {t('mailPage.time.time')}{' '}
          <input
            type="time"
            name="time"
            required
            defaultValue={`${pad(Math.floor(minuteOfDay / 60))}:${pad(minuteOfDay % 60)}`}
          />
        </label>{' '}
        <button type="submit">{t('mailPage.time.save')}</button> {t('mailPage.time.note')}
      </p>
    </form>
  )
}

interface RejectedAddressesProps {
  rejected: Awaited<ReturnType<typeof listRejectedAddresses>>
  now: number
}

function RejectedAddresses({ rejected, now }: RejectedAddressesProps) {
  const t = useTranslate()
  if (rejected.length === 0) return null
  return (
    <section aria-labelledby="rejected">
      <h2 id="rejected">{t('mailPage.rejected.title')}</h2>
      <p>{t('mailPage.rejected.intro')}</p>
      <ul>
        {rejected.map(({ personId, name, address, said, at }) => (
          <li key={personId}>
            {rich(t, 'mailPage.rejected.person', {
              name,
              address,
              day: <Day at={at} zone="UTC" now={now} />,
              person: (inside) => <Link href={`/setup/people/${personId}`}>{inside}</Link>,
            })}
            {said && <span className={table.quiet}>{said}</span>}
          </li>
        ))}
      </ul>
    </section>
  )
}

interface PastMailsProps {
  past: Awaited<ReturnType<typeof listMails>>
  /** Whether `past` has weekly mails only. */
  isWeekly: boolean
  /** Id of the person whose mails were asked for; null: everyone's. */
  of: string | null
  now: number
}

/** Past mails, each with its status and a link to it as it was sent. */
function PastMails({ past, isWeekly, of, now }: PastMailsProps) {
  const t = useTranslate()
  if (past.length === 0 && !isWeekly) return <p>{t('mailPage.past.none')}</p>
  const query = new URLSearchParams({
    ...(of === null ? {} : { of }),
    ...(isWeekly ? {} : { only: 'weekly' }),
  })
  return (
    <section aria-labelledby="past">
      <h2 id="past">{t('mailPage.past.title')}</h2>
      <p>
        <a href={`/digest?${query}#past`}>
          {t(isWeekly ? 'mailPage.past.showAll' : 'mailPage.past.showWeekly')}
        </a>
      </p>
      <div className={table.scroll}>
        <table className={`${table.table} ${table.stack}`}>
          <caption>{t('mailPage.past.caption')}</caption>
          <thead>
            <tr>
              <th scope="col">{t('mailPage.past.to')}</th>
              <th scope="col">{t('mailPage.past.for')}</th>
              <th scope="col">{t('mailPage.past.due')}</th>
              <th scope="col">{t('mailPage.past.status')}</th>
              <th scope="col">{t('mailPage.past.asSent')}</th>
            </tr>
          </thead>
          <tbody>
            {past.map((mail) => (
              <PastMail key={`${mail.personId} ${mail.occasion}`} mail={mail} now={now} />
            ))}
          </tbody>
        </table>
      </div>
    </section>
  )
}

function PastMail({ mail, now }: { mail: PastMailsProps['past'][number]; now: number }) {
  const t = useTranslate()
  const hasPage = mail.subject !== null || mail.state === 'uncertain' || mail.emptiedAt !== null
  return (
    <tr>
      <th scope="row">
        {mail.name}
        {mail.address && <span className={table.quiet}>{mail.address}</span>}
      </th>
      <td data-head={t('mailPage.past.forHead')}>{describeOccasion(t, mail.occasion, mail.more)}</td>
      <td data-head={t('mailPage.past.dueHead')}>
        <Instant at={mail.dueAt} zone="UTC" now={now} />
      </td>
      <td data-head={t('mailPage.past.statusHead')}>
        {describeStatus(t, mail)}
        {mail.said && <span className={table.quiet}>{mail.said}</span>}
      </td>
      <td data-head={t('mailPage.past.asSentHead')}>
        {hasPage && (
          <a href={`/digest?${new URLSearchParams({ of: mail.personId, mail: mail.occasion })}#mail`}>
            {mail.subject ?? t(mail.emptiedAt === null ? 'mailPage.past.known' : 'mailPage.past.notKept')}
          </a>
        )}
      </td>
    </tr>
  )
}
