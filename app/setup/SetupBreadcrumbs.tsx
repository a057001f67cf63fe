import { Link } from '@/app/ui/Link'
import type { RegisterList } from '@/lib/store/ledger/registerEntries'
import styles from './Form.module.css'
import { ENTRY_FORMS } from './forms/entryForms'

/** The way back: to the set-up, and to a list of it. */
export function SetupBreadcrumbs({ list, children }: { list?: RegisterList; children?: React.ReactNode }) {
  return (
    <nav aria-label="Set-up" className={styles.path}>
      <Link href="/setup">Set-up</Link>
      {list && (
        <>
          {' / '}
          <Link href={`/setup/${list}`}>{ENTRY_FORMS[list].title}</Link>
        </>
      )}
      {children}
    </nav>
  )
}
