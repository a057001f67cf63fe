import styles from './Form.module.css'

/** Under what a change would do: do it exactly as shown, or leave it. */
export function ConfirmForm({
  action,
  id,
  digest,
  canDo,
}: {
  action: string
  id: string
  /** Of what was shown, so that nothing else is done. */
  digest: string
  canDo: boolean
}) {
  return (
    <form method="post" action={action} className={styles.form}>
      <input type="hidden" name="id" value={id} />
      <input type="hidden" name="shown" value={digest} />
      <div className={styles.acts}>
        {canDo && (
          <button type="submit" name="act" value="do">
            Do it
          </button>
        )}
        <button type="submit" name="act" value="give up">
          Leave it as it is
        </button>
      </div>
    </form>
  )
}

/** Said where what was shown is not what would be done any more. */
export function OutdatedNotice({ moved }: { moved: string | string[] | undefined }) {
  if (moved !== 'yes') return null
  return (
    <p className={styles.wrongs} role="alert">
      Something moved since this was shown, so nothing was done. Look at it again.
    </p>
  )
}
