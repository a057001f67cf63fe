'use client'

import { type SubmitEvent, useState } from 'react'
import { useTranslate } from '#translate'
import styles from '@/app/ui/EventForm.module.css'
import { Field } from '@/app/ui/Field'
import { readScan } from './readScan'

/**
 * A field for a scanner, which types a code and presses Enter: each code ticks its sample among the `codes` of the page, and
 * the field is ready for the next one. Without scripts the page comes back with the codes `ticked` so far and the `last` read.
 */
export function ScanForm({
  codes,
  ticked,
  last,
}: {
  codes: readonly string[]
  ticked: readonly string[]
  last: string | undefined
}) {
  const t = useTranslate()
  const [answer, setAnswer] = useState(last === undefined ? null : readScan(last, codes))
  const isWrong = answer?.code === null
  function tick(event: SubmitEvent<HTMLFormElement>) {
    event.preventDefault()
    const field = event.currentTarget.elements.namedItem('scan') as HTMLInputElement
    const read = readScan(field.value, codes)
    setAnswer(read)
    if (read.code !== null) tickOnPage(read.code)
    field.select()
  }
  return (
    <form action="/receiving" className={styles.scan} onSubmit={tick}>
      {ticked.map((code) => (
        <input key={code} type="hidden" name="ticked" value={code} />
      ))}
      <Field name="scan" label={t('receiving.scan.label')} faults={[]}>
        {(control) => (
          <input
            {...control}
            autoComplete="off"
            autoCapitalize="characters"
            spellCheck={false}
            defaultValue={isWrong ? last : ''}
            aria-invalid={isWrong}
            aria-describedby="scanned"
          />
        )}
      </Field>
      <button type="submit" className={styles.second}>
        {t('receiving.scan.submit')}
      </button>
      <p role="status" id="scanned" className={isWrong ? styles.fault : styles.hint}>
        {answer && t.message(answer.answer)}
      </p>
    </form>
  )
}

/** The browser keeps what is ticked, since the form works without scripts. */
function tickOnPage(code: string): void {
  const box = document.querySelector<HTMLInputElement>(`input[name="sample"][value="${code}"]`)
  if (!box) return
  box.checked = true
  box.closest('li')?.scrollIntoView({ block: 'nearest' })
}
