'use client'

import { useId } from 'react'
import { useTranslate } from '#translate'
import form from '@/app/ui/EventForm.module.css'
import { Field } from '@/app/ui/Field'
import { useDesk } from './DeskContext'
import styles from './ScanBar.module.css'

/** A field for a scanner, which types a code and presses Enter. */
export function ScanBar({
  last,
  isFirst,
}: {
  /** A text that could not be read without scripts. */
  last: string
  /** It is the first of its page. */
  isFirst: boolean
}) {
  const t = useTranslate()
  const { answer } = useDesk()
  const answerId = useId()
  const isWrong = answer !== null && !answer.key.startsWith('receiving.scan.')
  return (
    <div className={styles.scan}>
      <Field name="scan" label={t('receiving.scan.label')} faults={[]}>
        {(control) => (
          <input
            {...control}
            // biome-ignore lint/a11y/noAutofocus: a scanner types at once, and the page is for that
            autoFocus={isFirst}
            autoComplete="off"
            autoCapitalize="characters"
            spellCheck={false}
            maxLength={200}
            defaultValue={last}
            aria-invalid={isWrong}
            aria-describedby={answerId}
          />
        )}
      </Field>
      <button type="submit" name="press" value="scan" className={form.second}>
        {t('receiving.scan.submit')}
      </button>
      <button type="submit" name="press" value="box" className={form.second}>
        {t('receiving.box.add')}
      </button>
      <p role="status" id={answerId} data-scanned className={isWrong ? form.fault : form.hint}>
        {answer ? t.message(answer) : t('receiving.scan.hint')}
      </p>
    </div>
  )
}
