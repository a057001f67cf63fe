import { useTranslate } from '#translate'
import { Link } from '@/app/ui/Link'
import { formatList, spellCount } from '@/app/ui/words/number'
import { formatKitCode } from '@/lib/custody/kitCode'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { capitalised } from '@/lib/schedule/firstLetter'
import type { RegisterList } from '@/lib/store/ledger/registerEntries'
import styles from '../Form.module.css'

type SearchParams = Record<string, string | string[] | undefined>

/** What was entered or issued just before, as the address has it; only codes that the register knows are named. */
export function SavedNotice({
  list,
  asked,
  register,
}: {
  list: RegisterList
  asked: SearchParams
  register: RegisterDocument
}) {
  const t = useTranslate()
  const known = new Set<string>(register[list].map(({ code }) => code))
  const issued = String(asked.issued ?? '')
    .split('.')
    .filter((code) => known.has(code))
  if (issued.length > 0)
    return (
      <p className={styles.done} role="status">
        {capitalised(spellCount(t, issued.length, 'kit'))} issued:{' '}
        {formatList(t, issued.slice(0, 8).map(formatKitCode))}
        {issued.length > 8 && ' and others'}.{' '}
        <Link href={`/setup/labels?codes=${issued.join('.')}`}>
          {issued.length === 1 ? 'Print its label' : 'Print their labels'}
        </Link>
        . <DueLink />
      </p>
    )
  const entered = String(asked.entered ?? '')
  if (entered === '') return null
  const words = list === 'kits' ? entered.split(' ').map(formatKitCode).join(' ') : entered
  const isThere = entered.split(' ').some((code) => known.has(code)) || known.has(entered)
  return (
    <p className={styles.done} role="status">
      {isThere ? `Entered: ${words}.` : 'Done.'} {list === 'kits' && <DueLink />}
    </p>
  )
}

/** Whoever came from what is due goes on there. */
function DueLink() {
  return (
    <>
      See <Link href="/due">what is still due</Link>.
    </>
  )
}
