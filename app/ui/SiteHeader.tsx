import Link from 'next/link'
import styles from './SiteHeader.module.css'
import { SiteNav } from './SiteNav'

/** The name and the two ways through the programme that are not reached from a sample. */
export function SiteHeader() {
  return (
    <header className={`page ${styles.header}`}>
      <a className={styles.skip} href="#content">
        Skip to the content
      </a>
      <p className={styles.name}>
        <Link href="/">
          <Mark /> Holdfast
        </Link>
      </p>
      <SiteNav />
    </header>
  )
}

/** A line that meets an upright. */
function Mark() {
  return (
    <svg className={styles.mark} viewBox="0 0 26 16" aria-hidden="true" focusable="false">
      <path d="M0 8h14M4 4v8M22 0v16" />
      <circle cx="16.5" cy="8" r="2.75" />
    </svg>
  )
}
