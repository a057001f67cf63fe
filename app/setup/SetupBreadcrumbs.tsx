import { useTranslate } from '#translate'
import { Link } from '@/app/ui/Link'
import type { RegisterList } from '@/lib/store/ledger/registerEntries'
import styles from './Form.module.css'
import { ENTRY_FORMS } from './forms/entryForms'

export function SetupBreadcrumbs({ list, children }: { list?: RegisterList; children?: React.ReactNode }) {
  const t = useTranslate()
  return (
    <nav aria-label={t('setup.title')} className={styles.path}>
      <Link href="/setup">{t('setup.title')}</Link>
      {list && (
        <>
          {' / '}
          <Link href={`/setup/${list}`}>{t(ENTRY_FORMS[list].title)}</Link>
        </>
      )}
      {children}
    </nav>
  )
}
