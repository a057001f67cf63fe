import type { ReactNode } from 'react'
import { useTranslate } from '#translate'
import { Link } from '@/app/ui/Link'
import { rich } from '@/app/ui/language/rich'
import { message } from '@/lib/messages/message'
import type { readMailbox } from '@/lib/store/people/digestPreference'
import type { ListedPerson } from '@/lib/store/people/people'
import styles from '../../Form.module.css'
import { TextField } from '../../fields'

interface Props {
  person: Pick<ListedPerson, 'id' | 'name' | 'email'>
  mailbox: Awaited<ReturnType<typeof readMailbox>>
  /** What was typed and is not an address; null if nothing was refused. */
  refused: string | null
  isSaved: boolean
}

/** The address for a person's mail, and who shares that mailbox. */
export function MailboxForm({ person: { id, name, email }, mailbox, refused, isSaved }: Props) {
  const t = useTranslate()
  const problems = refused === null ? [] : [{ field: 'mailbox', detail: message('setup.fault.mailbox') }]
  return (
    <section aria-labelledby="mailbox">
      <h2 id="mailbox">{t('setup.mailbox.title')}</h2>
      {isSaved && (
        <p className={styles.done} role="status">
          {t('setup.mailbox.saved')}
        </p>
      )}
      <p>
        <Destination id={id} name={name} email={email} mailbox={mailbox} />
      </p>
      <form method="post" action="/api/setup/people/mailbox" className={styles.form}>
        <input type="hidden" name="id" value={id} />
        <TextField
          form={{ values: { mailbox: refused ?? mailbox.mailbox ?? '' }, problems }}
          name="mailbox"
          label={t('setup.mailbox.label')}
          type="email"
          hint={t('setup.mailbox.hint')}
        />
        <div className={styles.acts}>
          <button type="submit">{t('setup.mailbox.save')}</button>
        </div>
      </form>
    </section>
  )
}

function Destination({ id, name, email, mailbox }: Props['person'] & Pick<Props, 'mailbox'>) {
  const t = useTranslate()
  const link = (text: ReactNode) => <Link href={`/digest?of=${id}`}>{text}</Link>
  if (mailbox.mailbox === null) return rich(t, 'setup.mailbox.own', { email, name, link })
  const shared = { mailbox: mailbox.mailbox, name, link }
  if (mailbox.sharers.length === 0) return rich(t, 'setup.mailbox.unshared', shared)
  const people = t.list(mailbox.sharers.map((sharer) => sharer.name))
  return rich(t, 'setup.mailbox.shared', { ...shared, people })
}
