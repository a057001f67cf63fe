/** Says, to who may know, that mail does not leave this machine. */
export function MailNotice({ outbox }: { outbox: string | null }) {
  if (outbox === null) return null
  return (
    <p>
      No mail server is set, so mail is written to <code>{outbox}</code> and reaches nobody. Set{' '}
      <code>SMTP_URL</code> and start again. Only an administrator is told this.
    </p>
  )
}
