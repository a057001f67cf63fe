import type { sentMail } from '@/lib/digest/own'
import { fateWords } from '../words/digestWords'
import { occasionWords } from '../words/occasionWords'
import { Instant } from './Instant'
import { MailFigure } from './MailFigure'

interface Props {
  mail: NonNullable<Awaited<ReturnType<typeof sentMail>>>
  now: number
}

/** One mail as it was sent, and what became of it. */
export function SentMail({ mail, now }: Props) {
  const { personId, name, address, occasion, subject, text, said, endedAt } = mail
  return (
    <section aria-labelledby="mail">
      <h2 id="mail">As it was sent</h2>
      <p>
        To {name}, {address}, {occasionWords(occasion)}. {fateWords(mail)}
        {endedAt !== null && (
          <>
            {' '}
            That was on <Instant at={endedAt} zone="UTC" now={now} />.
          </>
        )}
        {said && ` It said: ${said}`}
      </p>
      <MailFigure subject={subject ?? ''} text={text} of={personId} occasion={occasion} />
      <p>
        <a href={`/digest?of=${encodeURIComponent(personId)}`}>All mails of {name}</a>
      </p>
    </section>
  )
}
