import { Instant } from '@/app/ui/Instant'
import type { nextMail, readers, sentMail } from '@/lib/digest/delivery/shownMails'
import type { badAddresses } from '@/lib/store/mail/badAddresses'
import type { digestFates } from '@/lib/store/mail/digestFates'
import type { digestTime } from '@/lib/store/mail/digestTime'
import { BadAddresses } from './BadAddresses'
import styles from './DigestReport.module.css'
import { WEEKDAYS } from './digestWords'
import { MailFigure } from './MailFigure'
import { PastMails } from './PastMails'
import { SentMail, type SentMailProps } from './SentMail'

interface Props {
  next: Awaited<ReturnType<typeof nextMail>>
  /** One that was asked for, as it was sent. */
  sent: Awaited<ReturnType<typeof sentMail>>
  again: SentMailProps['again']
  past: Awaited<ReturnType<typeof digestFates>>
  /** Past ones are the weekly ones only. */
  isWeekly: boolean
  /** For an administrator; else empty. */
  bad: Awaited<ReturnType<typeof badAddresses>>
  /** For an administrator: everyone; else empty. */
  readers: Awaited<ReturnType<typeof readers>>
  shown: string
  /** Whose past ones, where they are one person's and that was asked for; null: of everyone. */
  pastOf: string | null
  /** When the programme's mail goes, where it is the reader's to set. */
  time: Awaited<ReturnType<typeof digestTime>> | null
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
      <BadAddresses bad={bad} now={now} />
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
