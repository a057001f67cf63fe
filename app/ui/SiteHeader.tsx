import { connection } from 'next/server'
import { useTranslate } from '#translate'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { getUser } from '@/lib/access/session/currentUser'
import { getHomePath } from '@/lib/access/session/returnPath'
import { listPages } from '@/lib/policy/routes'
import { HashHistory } from './HashHistory'
import { Link } from './Link'
import styles from './SiteHeader.module.css'
import { SiteNav } from './SiteNav'

/** The head of every page: the name, the navigation and who is signed in. */
export async function SiteHeader() {
  const t = await getTranslate()
  await connection()
  // The head is there even when the database does not answer.
  const person = await getUser().catch(() => null)
  return (
    <header className={`page ${styles.header}`}>
      <a className={styles.skip} href="#content">
        {t('site.skip')}
      </a>
      <HashHistory />
      <p className={styles.name}>
        <Link href={person ? getHomePath(person.roles) : '/'}>
          <Mark /> Holdfast
        </Link>
      </p>
      {person && <SiteNav pages={listPages(t, person)} />}
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

/** The sign of Holdfast: a line that meets an upright. */
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
  const t = useTranslate()
  return (
    <form method="post" action="/api/sign-out" className={className}>
      <button type="submit">{t('site.signOut')}</button>
    </form>
  )
}
