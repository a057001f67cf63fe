import { useTranslate } from '#translate'
import { Instant } from '@/app/ui/Instant'
import { rich } from '@/app/ui/language/rich'
import form from '@/app/ui/PlainForm.module.css'
import type { readSentMail } from '@/lib/digest/delivery/shownMails'
import { describeOccasion, describeStatus } from './mailText'
import styles from './SentMail.module.css'

export interface SentMailProps {
  mail: NonNullable<Awaited<ReturnType<typeof readSentMail>>>
  /** Shown to an administrator, who may have it sent again; `isUnsure` after a try without the tick. */
  resend: { isUnsure: boolean } | null
  now: number
}

/** One mail as it was sent, and what became of it. */
export function SentMail({ mail, resend, now }: SentMailProps) {
  const t = useTranslate()
  const { personId, name, address, occasion, subject, text, said, endedAt } = mail
  return (
    <section aria-labelledby="mail">
      <h2 id="mail">{t('mailPage.sent.title')}</h2>
      <p className="prose">
        {address ? t('mailPage.sent.toAddress', { name, address }) : t('mailPage.sent.to', { name })}{' '}
        {t('mailPage.sent.for', { occasion: describeOccasion(t, occasion, mail.more) })}{' '}
        {describeStatus(t, mail)}
        {endedAt !== null && (
          <> {rich(t, 'mailPage.sent.endedOn', { time: <Instant at={endedAt} zone="UTC" now={now} /> })}</>
        )}
        {said && ` ${t('mailPage.sent.said', { said })}`}
      </p>
      {resend && mail.mayGoAgain && <ResendForm mail={mail} isUnsure={resend.isUnsure} />}
      {text === null ? (
        <p>
          {t(
            mail.emptiedAt !== null
              ? 'mailPage.sent.emptied'
              : mail.isWithheld
                ? 'mailPage.sent.withheld'
                : 'mailPage.sent.notKept',
          )}
        </p>
      ) : (
        <MailFigure subject={subject ?? ''} text={text} of={personId} occasion={occasion} />
      )}
      <p>
        <a href={`/digest?of=${encodeURIComponent(personId)}`}>{t('mailPage.sent.all', { name })}</a>
      </p>
    </section>
  )
}

function ResendForm({ mail, isUnsure }: { mail: SentMailProps['mail']; isUnsure: boolean }) {
  const t = useTranslate()
  const mayHaveArrived = mail.state === 'uncertain'
  return (
    <form method="post" action="/api/digest/again" className={form.form}>
      <input type="hidden" name="of" value={mail.personId} />
      <input type="hidden" name="mail" value={mail.occasion} />
      {mayHaveArrived ? (
        <fieldset>
          <label className={form.choice}>
            <input type="checkbox" name="sure" value="yes" />
            {t('mailPage.resend.sure', { name: mail.name })}
          </label>
          {isUnsure && (
            <span className={form.fault} role="alert">
              {t('mailPage.resend.unsure')}
            </span>
          )}
        </fieldset>
      ) : (
        <input type="hidden" name="sure" value="yes" />
      )}
      <p>
        <button type="submit">{t('mailPage.resend.submit')}</button> {t('mailPage.resend.note')}
      </p>
    </form>
  )
}

interface MailFigureProps {
  subject: string
  text: string
  /** Id of the reader. */
  of: string
  /** Null for the next weekly mail. */
  occasion: string | null
}

/** A mail as a mail program shows it, and its plain text. */
export function MailFigure({ subject, text, of, occasion }: MailFigureProps) {
  const t = useTranslate()
  const query = new URLSearchParams({ of, ...(occasion === null ? {} : { occasion }) })
  return (
    <figure className={styles.mail}>
      <figcaption>{subject}</figcaption>
      <iframe
        src={`/api/digest/html?${query}`}
        title={t('mailPage.figure.frame', { subject })}
        sandbox="allow-popups allow-popups-to-escape-sandbox"
      />
      <details>
        <summary>{t('mailPage.figure.text')}</summary>
        <pre>{text}</pre>
      </details>
    </figure>
  )
}
