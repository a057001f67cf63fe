import { useTranslate } from '#translate'
import { Link } from '@/app/ui/Link'
import { rich } from '@/app/ui/language/rich'
import { formatKitCode } from '@/lib/custody/kitCode'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import type { RegisterList } from '@/lib/store/ledger/registerEntries'
import styles from '../Form.module.css'
import type { SearchParams } from '../searchParams'

const MAX_CODES_NAMED = 8

/** What was just saved or issued, as the address says; only codes in the register are shown. */
export function SavedNotice({
  list,
  searchParams,
  register,
}: {
  list: RegisterList
  searchParams: SearchParams
  register: RegisterDocument
}) {
  const t = useTranslate()
  const known = new Set<string>(register[list].map(({ code }) => code))
  const issued = String(searchParams.issued ?? '')
    .split('.')
    .filter((code) => known.has(code))
  if (issued.length > 0)
    return (
      <p className={styles.done} role="status">
        <IssuedKits codes={issued} /> <DueLink />
      </p>
    )
  const saved = String(searchParams.entered ?? '')
  if (saved === '') return null
  const entries = list === 'kits' ? saved.split(' ').map(formatKitCode).join(' ') : saved
  const isThere = saved.split(' ').some((code) => known.has(code)) || known.has(saved)
  return (
    <p className={styles.done} role="status">
      {isThere ? t('setup.list.saved', { entries }) : t('setup.list.deleted')}{' '}
      {list === 'kits' && <DueLink />}
    </p>
  )
}

function IssuedKits({ codes }: { codes: string[] }) {
  const t = useTranslate()
  const link = (text: React.ReactNode) => <Link href={`/setup/labels?codes=${codes.join('.')}`}>{text}</Link>
  const others = codes.length - MAX_CODES_NAMED
  const named = codes.slice(0, MAX_CODES_NAMED).map(formatKitCode)
  return others > 0
    ? rich(t, 'setup.list.manyIssued', { count: codes.length, codes: named.join(', '), others, link })
    : rich(t, 'setup.list.issued', { count: codes.length, codes: t.list(named), link })
}

/** Takes whoever came from the due page back there. */
function DueLink() {
  return rich(useTranslate(), 'record.done.seeDue', { link: (text) => <Link href="/due">{text}</Link> })
}
