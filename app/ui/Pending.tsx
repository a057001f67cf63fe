'use client'

import { useLinkStatus } from 'next/link'
import { useTranslate } from '#translate'
import styles from './Pending.module.css'

/**
 * Says, inside a link, that its page is loading once that takes a noticeable time. (A loading state of the page itself
 * would hide the page without scripts, and would answer 200 before it is known whether the page exists.)
 */
export function Pending() {
  const t = useTranslate()
  const { pending } = useLinkStatus()
  return pending ? <span className={styles.pending}> {t('site.loading')}</span> : null
}
