import { useTranslate } from '#translate'
import { Link } from '@/app/ui/Link'
import { formatList } from '@/app/ui/words/number'
import type { readMailbox } from '@/lib/store/people/digestPreference'
import type { ListedPerson } from '@/lib/store/people/people'
import styles from '../../Form.module.css'
import { TextField } from '../../fields'

interface Props {
  person: Pick<ListedPerson, 'id' | 'name' | 'email'>
  mailbox: Awaited<ReturnType<typeof readMailbox>>
  /** What was sent just before and is no address; null where nothing was refused. */
  refused: string | null
  isKept: boolean
}

/** Where a person's mail goes, and who shares that mailbox. */
export function MailboxForm({ person: { id, name, email }, mailbox, refused, isKept }: Props) {
  const t = useTranslate()
  const problems =
    refused !== null
      ? [{ field: 'mailbox', detail: 'Write an e-mail address, as name@example.org, or leave it empty.' }]
      : []
  return (
    <section aria-labelledby="mailbox">
      <h2 id="mailbox">Where mail goes</h2>
      {isKept && (
        <p className={styles.done} role="status">
          Kept.
        </p>
      )}
      <p>
        {mailbox.mailbox === null
          ? `To ${email}.`
          : mailbox.sharers.length === 0
            ? `To ${mailbox.mailbox}, which nobody else shares.`
            : `To ${mailbox.mailbox}, shared with ${formatList(
                t,
                mailbox.sharers.map((one) => one.name),
              )}: one mail comes for all of them, with what each may see.`}{' '}
        <Link href={`/digest?of=${id}`}>What is sent to {name}</Link>
      </p>
      <form method="post" action="/api/setup/people/mailbox" className={styles.form}>
        <input type="hidden" name="id" value={id} />
        <TextField
          form={{ values: { mailbox: refused ?? mailbox.mailbox ?? '' }, problems }}
          name="mailbox"
          label="Mailbox that several share"
          type="email"
          hint="Empty: their own address. Whoever reads the mailbox sees what each of them may see, so share none between makers. Signing in stays by their own address."
        />
        <div className={styles.acts}>
          <button type="submit">Set the mailbox</button>
        </div>
      </form>
    </section>
  )
}
