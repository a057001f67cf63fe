import { connection } from 'next/server'
import { visitor } from '@/lib/access/session/visitor'
import { homeOf } from '@/lib/access/session/wanted'
import { pagesOf } from '@/lib/policy/routes'
import { Link } from './Link'
import { PlaceOnPage } from './PlaceOnPage'
import styles from './SiteHeader.module.css'
import { SiteNav } from './SiteNav'

/** The name, the ways through the programme that are not reached from a sample, and who is signed in. */
export async function SiteHeader() {
  await connection()
  // A page that cannot be made because the database does not answer still gets its head.
  const person = await visitor().catch(() => null)
  return (
    <header className={`page ${styles.header}`}>
      <a className={styles.skip} href="#content">
        Skip to the content
      </a>
      <PlaceOnPage />
      <p className={styles.name}>
        <Link href={person ? homeOf(person.roles) : '/'}>
          <Mark /> Holdfast
        </Link>
      </p>
      {person && <SiteNav pages={pagesOf(person)} />}
      {person && (
        <div className={styles.person}>
          <Link href="/me" className={styles.me}>
            {person.name}
          </Link>
          <SignOut className={styles.out} />
        </div>
      )}
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

/** Ends the session of this browser. */
function SignOut({ className }: { className?: string }) {
  return (
    <form method="post" action="/api/sign-out" className={className}>
      <button type="submit">Sign out</button>
    </form>
  )
}
