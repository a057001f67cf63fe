import type { Metadata } from 'next'
import { useTranslate } from '#translate'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { requireUser } from '@/lib/access/guard'
import { toActor } from '@/lib/access/session/actor'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { ROLE_NAMES } from '@/lib/policy/personRoles'
import { readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { findDraft } from '@/lib/store/register/setupDraft'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { Link } from '../../../ui/Link'
import { CsvForm } from '../../CsvForm'
import { readPeopleDraft } from '../../draft'
import styles from '../../Form.module.css'
import { PEOPLE_COLUMNS } from '../../forms/peopleCsv'
import { SetupBreadcrumbs } from '../../SetupBreadcrumbs'
import type { SearchParams } from '../../searchParams'

export const dynamic = 'force-dynamic'

export async function generateMetadata(): Promise<Metadata> {
  const t = await getTranslate()
  return { title: t('setup.peopleCsv.title') }
}

export default async function PeopleCsvPage({ searchParams }: { searchParams: Promise<SearchParams> }) {
  const t = await getTranslate()
  const user = await requireUser('page /setup/csv/people')
  const { draft: id } = await searchParams
  const draft =
    typeof id === 'string' ? readPeopleDraft(await findDraft(getAppPool(), toActor(user, null), id)) : null
  const form = {
    values: { text: draft?.peopleCsv ?? `${PEOPLE_COLUMNS.join(',')}\n` },
    problems: draft?.problems ?? [],
  }
  return (
    <>
      <SetupBreadcrumbs>
        {' / '}
        <Link href="/setup/people">{t('setup.people.title')}</Link>
      </SetupBreadcrumbs>
      <h1>{t('setup.peopleCsv.title')}</h1>
      <PeopleExample register={await readRegisterDocument(getAppPool())} />
      <CsvForm action="/api/setup/people/csv" form={form} />
    </>
  )
}

/** How to write a list of people, with an example that uses codes of the register if it has any. */
function PeopleExample({ register }: { register: RegisterDocument }) {
  const t = useTranslate()
  const [plant, second] = [register.plants[0]?.code ?? 'MILL', register.plants[1]?.code ?? 'DOCK']
  const laboratory = register.laboratories[0]?.code ?? 'NORTH'
  const lines = [
    PEOPLE_COLUMNS.join(','),
    `line@example.org,${t('setup.peopleCsv.exampleContact')},Europe/Lisbon,plant contact,${plant},no`,
    `line@example.org,,,plant contact,${second},no`,
    `desk@example.org,${t('setup.peopleCsv.exampleDesk')},Asia/Kolkata,laboratory desk,${laboratory},no`,
    `board@example.org,${t('setup.peopleCsv.exampleReader')},UTC,reader,,no`,
  ]
  return (
    <>
      <p className="prose">{t('setup.peopleCsv.how', { roles: t.choice(ROLE_NAMES) })}</p>
      <pre className={styles.example}>{lines.join('\n')}</pre>
      <p className="prose">{t('setup.peopleCsv.rules')}</p>
    </>
  )
}
