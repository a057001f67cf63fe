'use client'

import { type ReactNode, useEffect, useRef } from 'react'
import { useTranslate } from '#translate'
import { ConditionFields } from '@/app/ui/ConditionFields'
import styles from '@/app/ui/EventForm.module.css'
import { formatKitCode, isKitCode } from '@/lib/custody/kitCode'
import type { ConditionAnswers } from '@/lib/intake/hand/conditionForm'
import type { FormFault } from '@/lib/intake/hand/parseEventForm'
import { rich } from '../ui/language/rich'
import { useDesk } from './DeskContext'

/** The condition of one box, folded until someone needs it, and what is wrong with the box itself. */
export function BoxDetails({
  name,
  answers,
  faults,
  children,
}: {
  name: string
  answers?: ConditionAnswers
  faults: readonly FormFault[]
  /** What else is asked of the box. */
  children?: ReactNode
}) {
  const t = useTranslate()
  const { opened, focused } = useDesk()
  const isOpen = opened.has(name)
  const place = useRef<HTMLDivElement>(null)
  useEffect(() => {
    if (focused?.name === name) place.current?.querySelector('input')?.focus()
  }, [focused, name])
  const own = faults.filter(({ field }) => field === `box.${name}`)
  return (
    <>
      {!isOpen && (
        <button type="submit" name="press" value={name} className={styles.unfold}>
          {rich(t, 'receiving.condition.open', {
            unseen: (text) => <span className="unseen">{text}</span>,
            box: isKitCode(name) ? formatKitCode(name) : t('receiving.box.noCode'),
          })}
        </button>
      )}
      {own.map(({ detail }) => (
        <p key={detail.key} className={styles.fault} data-fault tabIndex={-1}>
          {t.message(detail)}
        </p>
      ))}
      {isOpen && (
        <div className={styles.unfolded} ref={place}>
          {children}
          <ConditionFields prefix={`condition.${name}`} answers={answers} faults={faults} />
          <input type="hidden" name="open" value={name} />
        </div>
      )}
    </>
  )
}
