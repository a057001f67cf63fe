'use client'

import { useLinkStatus } from 'next/link'
import styles from './Pending.module.css'

/**
 * Inside a link: says that its page is being read, once it takes a noticeable time. (A page's own waiting state would
 * hide it from whoever has no scripts, and would answer 200 before it is known whether there is such a page.)
 */
export function Pending() {
  const { pending } = useLinkStatus()
  return pending ? <span className={styles.pending}> reading …</span> : null
}
