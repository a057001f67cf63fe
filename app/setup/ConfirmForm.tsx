import { useTranslate } from '#translate'
import styles from './Form.module.css'

/** Applies a change exactly as shown, or discards it. */
export function ConfirmForm({
  action,
  id,
  digest,
  canApply,
}: {
  action: string
  id: string
  /** Identifies what was shown: a change that would do anything else is not applied. */
  digest: string
  canApply: boolean
}) {
  const t = useTranslate()
  return (
    <form method="post" action={action} className={styles.form}>
      <input type="hidden" name="id" value={id} />
      <input type="hidden" name="shown" value={digest} />
      <div className={styles.acts}>
        {canApply && (
          <button type="submit" name="act" value="do">
            {t('setup.changes.apply')}
          </button>
        )}
        <button type="submit" name="act" value="give up">
          {t('setup.changes.discard')}
        </button>
      </div>
    </form>
  )
}

/** Tells that the change would now do something else than was shown. */
export function OutdatedNotice({ moved }: { moved: string | string[] | undefined }) {
  const t = useTranslate()
  if (moved !== 'yes') return null
  return (
    <p className={styles.wrongs} role="alert">
      {t('setup.changes.outdated')}
    </p>
  )
}
