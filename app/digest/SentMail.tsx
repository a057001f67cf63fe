import { useTranslate } from '#translate'
import { Instant } from '@/app/ui/Instant'
import form from '@/app/ui/PlainForm.module.css'
import type { readSentMail } from '@/lib/digest/delivery/shownMails'
import { describeOccasion, describeStatus } from './mailText'
import styles from './SentMail.module.css'

export interface SentMailProps {
  mail: NonNullable<Awaited<ReturnType<typeof readSentMail>>>
  /** For who may have it sent again: whether they tried so and were not sure; null for others. */
  again: { isUnsure: boolean } | null
  now: number
}

/** One mail as it was sent, and what became of it. */
export function SentMail({ mail, again, now }: SentMailProps) {
  const t = useTranslate()
  const { personId, name, address, occasion, subject, text, said, endedAt } = mail
  return (
    <section aria-labelledby="mail">
      <h2 id="mail">One of the past</h2>
      <p className="prose">
        To {name}
        {address && `, ${address}`}, {describeOccasion(t, occasion, mail.more)}. {describeStatus(t, mail)}
        {endedAt !== null && (
          <>
            {' '}
            That was on <Instant at={endedAt} zone="UTC" now={now} />.
          </>
        )}
        {said && ` The words were: ${said}`}
      </p>
      {again && mail.mayGoAgain && <ResendForm mail={mail} isUnsure={again.isUnsure} />}
      {text === null ? (
        <p>
          {mail.emptiedAt !== null
            ? 'What it said, and the address that it went to, are kept for half a year and are gone. That it was due, and what became of it, stays.'
            : mail.isWithheld
              ? 'It is not shown here: since then it has changed what you may see. It is in the mailbox that it went to.'
              : 'How it read was not kept.'}
        </p>
      ) : (
        <MailFigure subject={subject ?? ''} text={text} of={personId} occasion={occasion} />
      )}
      <p>
        <a href={`/digest?of=${encodeURIComponent(personId)}`}>All mails of {name}</a>
      </p>
    </section>
  )
}

function ResendForm({ mail, isUnsure }: { mail: SentMailProps['mail']; isUnsure: boolean }) {
  const mayHaveArrived = mail.state === 'uncertain'
  return (
    <form method="post" action="/api/digest/again" className={form.form}>
      <input type="hidden" name="of" value={mail.personId} />
      <input type="hidden" name="mail" value={mail.occasion} />
      {mayHaveArrived ? (
        <fieldset>
          <label className={form.choice}>
            <input type="checkbox" name="sure" value="yes" />
            {mail.name} has told me that it did not arrive
          </label>
          {isUnsure && (
            <span className={form.fault} role="alert">
              Ask first, and tick this: if it did arrive, there would be two.
            </span>
          )}
        </fieldset>
      ) : (
        <input type="hidden" name="sure" value="yes" />
      )}
      <p>
        <button type="submit">Send it again</button> As things stand when it goes; this is on record.
      </p>
    </form>
  )
}

interface Props {
  subject: string
  text: string
  /** Of whom, and for what it was sent; null for the next weekly one. */
  of: string
  occasion: string | null
}

/** A mail as a mail program shows it, and its plain text. */
export function MailFigure({ subject, text, of, occasion }: Props) {
  const asks = new URLSearchParams({ of, ...(occasion === null ? {} : { occasion }) })
  return (
    <figure className={styles.mail}>
      <figcaption>{subject}</figcaption>
      <iframe
        src={`/api/digest/html?${asks}`}
        title={`The mail “${subject}”`}
        sandbox="allow-popups allow-popups-to-escape-sandbox"
      />
      <details>
        <summary>Its plain text, for mail programs that show no HTML</summary>
        <pre>{text}</pre>
      </details>
    </figure>
  )
}
