import { useTranslate } from '#translate'
import { Day, Instant } from '@/app/ui/Instant'
import { Link } from '@/app/ui/Link'
import table from '@/app/ui/Table.module.css'
import type { listReaders, previewNextMail, readSentMail } from '@/lib/digest/delivery/shownMails'
import type { readDigestTime } from '@/lib/store/mail/digestTime'
import type { listMails, listRejectedAddresses } from '@/lib/store/mail/mailStatus'
import styles from './DigestReport.module.css'
import { describeOccasion, describeStatus, WEEKDAYS } from './mailText'
import { MailFigure, SentMail, type SentMailProps } from './SentMail'

interface Props {
  next: Awaited<ReturnType<typeof previewNextMail>>
  /** One that was asked for, as it was sent. */
  sent: Awaited<ReturnType<typeof readSentMail>>
  again: SentMailProps['again']
  past: Awaited<ReturnType<typeof listMails>>
  /** Past ones are the weekly ones only. */
  isWeekly: boolean
  /** For an administrator; else empty. */
  bad: Awaited<ReturnType<typeof listRejectedAddresses>>
  /** For an administrator: everyone; else empty. */
  readers: Awaited<ReturnType<typeof listReaders>>
  shown: string
  /** Whose past ones, where they are one person's and that was asked for; null: of everyone. */
  pastOf: string | null
  /** When the programme's mail goes, where it is the reader's to set. */
  time: Awaited<ReturnType<typeof readDigestTime>> | null
  now: number
}

/** The next weekly mail of a person, and what became of past ones. */
export function DigestReport({
  next,
  sent,
  again,
  past,
  isWeekly,
  bad,
  readers,
  shown,
  pastOf,
  time,
  now,
}: Props) {
  return (
    <>
      <h1>Weekly mail</h1>
      <RejectedAddresses bad={bad} now={now} />
      {time && <TimeForm time={time} />}
      {readers.length > 0 && (
        <form method="get" action="/digest">
          <p className={styles.line}>
            <label>
              The mail of{' '}
              <select name="of" defaultValue={shown}>
                {readers.map(({ id, name, email }) => (
                  <option key={id} value={id}>
                    {name} ({email})
                  </option>
                ))}
              </select>
            </label>{' '}
            <button type="submit">Show</button>
          </p>
        </form>
      )}
      {sent ? (
        <SentMail mail={sent} again={again} now={now} />
      ) : (
        <NextMail next={next} of={shown} now={now} />
      )}
      <PastMails past={past} isWeekly={isWeekly} of={pastOf} now={now} />
    </>
  )
}

function NextMail({ next, of, now }: Pick<Props, 'next' | 'now'> & { of: string }) {
  return (
    <section aria-labelledby="next">
      <h2 id="next">The next one</h2>
      {next === null ? (
        <p>None: only who has something to do in the programme gets one.</p>
      ) : (
        <>
          <p>
            For {next.name}, week {next.week}, to {next.address},{' '}
            <Instant at={next.dueAt} zone={next.zone} now={now} />.{' '}
            {next.isWanted
              ? next.text === null && 'Nothing would go: nothing is overdue, and no line is wanted then.'
              : 'It is stopped. It can be chosen again under “You”.'}
          </p>
          {next.text !== null && (
            <MailFigure subject={next.subject ?? ''} text={next.text} of={of} occasion={null} />
          )}
        </>
      )}
    </section>
  )
}

function TimeForm({ time: { weekday, minuteOfDay } }: { time: NonNullable<Props['time']> }) {
  const two = (value: number) => String(value).padStart(2, '0')
  return (
    <form method="post" action="/api/digest/time">
      <p className={styles.line}>
        <label>
          It goes on{' '}
          <select name="weekday" defaultValue={weekday}>
            {WEEKDAYS.map((name, index) => (
              <option key={name} value={index + 1}>
                {name}
              </option>
            ))}
          </select>
        </label>{' '}
        <label>
          at{' '}
          <input
            type="time"
            name="time"
            required
            defaultValue={`${two(Math.floor(minuteOfDay / 60))}:${two(minuteOfDay % 60)}`}
          />
        </label>{' '}
        by each reader’s own clock. <button type="submit">Set</button>
      </p>
    </form>
  )
}

interface RejectedAddressesProps {
  bad: Awaited<ReturnType<typeof listRejectedAddresses>>
  now: number
}

/** The addresses that get no mail until someone puts them right; nothing where all is well. */
function RejectedAddresses({ bad, now }: RejectedAddressesProps) {
  if (bad.length === 0) return null
  return (
    <section aria-labelledby="bad">
      <h2 id="bad">Addresses to put right</h2>
      <p>A mail server refused them for good. Until they are put right these people get no mail.</p>
      <ul>
        {bad.map(({ personId, name, address, said, at }) => (
          <li key={personId}>
            <Link href={`/setup/people/${personId}`}>{name}</Link>, {address}, since{' '}
            <Day at={at} zone="UTC" now={now} />
            {said && <span className={table.quiet}>{said}</span>}
          </li>
        ))}
      </ul>
    </section>
  )
}

interface PastMailsProps {
  past: Awaited<ReturnType<typeof listMails>>
  /** They are the weekly ones only. */
  isWeekly: boolean
  /** Of whom, where that was asked for. */
  of: string | null
  now: number
}

/** What became of mails, each with a link to how it was sent. */
function PastMails({ past, isWeekly, of, now }: PastMailsProps) {
  const t = useTranslate()
  if (past.length === 0 && !isWeekly) return <p>No mail has been due yet.</p>
  const asks = new URLSearchParams({
    ...(of === null ? {} : { of }),
    ...(isWeekly ? {} : { only: 'weekly' }),
  })
  return (
    <section aria-labelledby="past">
      <h2 id="past">What became of them</h2>
      <p>
        <a href={`/digest?${asks}#past`}>{isWeekly ? 'Those at once too' : 'Weekly ones only'}</a>
      </p>
      <div className={table.scroll}>
        <table className={`${table.table} ${table.stack}`}>
          <caption>Newest first. How each read is kept for half a year.</caption>
          <thead>
            <tr>
              <th scope="col">To</th>
              <th scope="col">For</th>
              <th scope="col">Due</th>
              <th scope="col">What became of it</th>
              <th scope="col">As sent</th>
            </tr>
          </thead>
          <tbody>
            {past.map((mail) => (
              <tr key={`${mail.personId} ${mail.occasion}`}>
                <th scope="row">
                  {mail.name}
                  {mail.address && <span className={table.quiet}>{mail.address}</span>}
                </th>
                <td data-head="for">{describeOccasion(t, mail.occasion, mail.more)}</td>
                <td data-head="due">
                  <Instant at={mail.dueAt} zone="UTC" now={now} />
                </td>
                <td data-head="what became of it">
                  {describeStatus(t, mail)}
                  {mail.said && <span className={table.quiet}>{mail.said}</span>}
                </td>
                <td data-head="as sent">
                  {(mail.subject !== null || mail.state === 'uncertain' || mail.emptiedAt !== null) && (
                    <a
                      href={`/digest?${new URLSearchParams({ of: mail.personId, mail: mail.occasion })}#mail`}
                    >
                      {mail.subject ?? (mail.emptiedAt === null ? 'What is known of it' : 'No longer kept')}
                    </a>
                  )}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  )
}
