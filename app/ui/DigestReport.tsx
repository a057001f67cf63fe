import type { fates, nextMail, readers, timeOfWeek } from '@/lib/digest/own'
import { fateWords, WEEKDAYS } from '../words/digestWords'
import styles from './DigestReport.module.css'
import { Instant } from './Instant'
import table from './Table.module.css'

interface Props {
  next: Awaited<ReturnType<typeof nextMail>>
  past: Awaited<ReturnType<typeof fates>>
  /** For an administrator: everyone; else empty. */
  readers: Awaited<ReturnType<typeof readers>>
  shown: string
  /** When the programme's mail goes, where it is the reader's to set. */
  time: Awaited<ReturnType<typeof timeOfWeek>> | null
  now: number
}

/** The next weekly mail of a person, and what became of past ones. */
export function DigestReport({ next, past, readers, shown, time, now }: Props) {
  return (
    <>
      <h1>Weekly mail</h1>
      {time && <TimeForm time={time} />}
      {readers.length > 0 && (
        <form method="get" action="/digest">
          <p>
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
              <figure className={styles.mail}>
                <figcaption>{next.subject}</figcaption>
                <pre>{next.text}</pre>
              </figure>
            )}
          </>
        )}
      </section>
      <PastMails past={past} now={now} />
    </>
  )
}

function PastMails({ past, now }: Pick<Props, 'past' | 'now'>) {
  if (past.length === 0) return <p>No mail has been due yet.</p>
  return (
    <section aria-labelledby="past">
      <h2 id="past">What became of them</h2>
      <div className={table.scroll}>
        <table className={`${table.table} ${table.stack}`}>
          <caption>Newest first.</caption>
          <thead>
            <tr>
              <th scope="col">To</th>
              <th scope="col">Week</th>
              <th scope="col">Due</th>
              <th scope="col">What became of it</th>
              <th scope="col">As sent</th>
            </tr>
          </thead>
          <tbody>
            {past.map((mail) => (
              <tr key={`${mail.personId} ${mail.week}`}>
                <th scope="row">
                  {mail.name}
                  {mail.address && <span className={table.quiet}>{mail.address}</span>}
                </th>
                <td data-head="week">{mail.week}</td>
                <td data-head="due">
                  <Instant at={mail.dueAt} zone="UTC" now={now} />
                </td>
                <td data-head="what became of it">
                  {fateWords(mail)}
                  {mail.said && <span className={table.quiet}>{mail.said}</span>}
                </td>
                <td data-head="as sent">
                  {mail.text && (
                    <details className={styles.mail}>
                      <summary>{mail.subject}</summary>
                      <pre>{mail.text.replaceAll(/\?token=[\w.-]+/g, '?token=…')}</pre>
                    </details>
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

function TimeForm({ time: { weekday, minuteOfDay } }: { time: NonNullable<Props['time']> }) {
  const two = (value: number) => String(value).padStart(2, '0')
  return (
    <form method="post" action="/api/digest/time">
      <p>
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
