import type { Metadata } from 'next'
import { useTranslate } from '#translate'
import { rich } from '@/app/ui/language/rich'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { formatDay } from '@/app/ui/words/instant'
import { requireUser } from '@/lib/access/guard'
import { listPeople } from '@/lib/access/people/managePeople'
import { NO_ROLES } from '@/lib/policy/personRoles'
import { readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { listRejectedAddresses } from '@/lib/store/mail/mailStatus'
import { getAppPool, getAuthPool } from '@/lib/store/scope/sharedPool'
import { Link } from '../../ui/Link'
import table from '../../ui/Table.module.css'
import styles from '../Form.module.css'
import { SetupBreadcrumbs } from '../SetupBreadcrumbs'
import type { SearchParams } from '../searchParams'
import { describeRoles } from './describeRoles'
import { PersonForm } from './PersonForm'
import { loadRefusedPerson } from './refusedForms'

export const dynamic = 'force-dynamic'

export async function generateMetadata(): Promise<Metadata> {
  const t = await getTranslate()
  return { title: t('setup.people.title') }
}

const COLUMN_HEADINGS = [
  'setup.people.nameColumn',
  'setup.people.emailColumn',
  'setup.people.roleColumn',
  'setup.people.zoneColumn',
  'setup.people.sinceColumn',
] as const

export default async function PeoplePage({ searchParams }: { searchParams: Promise<SearchParams> }) {
  const t = await getTranslate()
  const user = await requireUser('page /setup/people')
  const query = await searchParams
  const [everyone, register, now] = [await listPeople(), await readRegisterDocument(getAppPool()), Date.now()]
  const rejected = new Map(
    (await listRejectedAddresses(getAuthPool())).map((one) => [one.personId, one.said]),
  )
  const refused = await loadRefusedPerson(user, query, null)
  const saved = everyone.find(({ id }) => id === query.entered)
  return (
    <>
      <SetupBreadcrumbs />
      <h1>{t('setup.people.title')}</h1>
      {saved && (
        <p className={styles.done} role="status">
          {t('setup.people.saved', { name: saved.name, roles: describeRoles(t, saved.roles) })}
        </p>
      )}
      <ImportNotice searchParams={query} />
      <p>
        {rich(t, 'setup.people.actions', {
          csv: (text) => <Link href="/setup/csv/people">{text}</Link>,
          export: (text) => <a href="/api/setup/people/csv">{text}</a>,
        })}
      </p>
      {everyone.length > 0 && (
        <section className={table.scroll} aria-label={t('setup.people.everyone')}>
          <table className={`${table.table} ${table.stack}`}>
            <thead>
              <tr>
                {COLUMN_HEADINGS.map((heading) => (
                  <th key={heading} scope="col">
                    {t(heading)}
                  </th>
                ))}
              </tr>
            </thead>
            <tbody>
              {everyone.map(({ id, name, email, roles, zone, createdAt, leftAt }) => (
                <tr key={id}>
                  <th scope="row">
                    <Link href={`/setup/people/${id}`}>{name}</Link>
                  </th>
                  <td>
                    {email}
                    {rejected.has(id) && (
                      <span className={table.quiet}>
                        {t('setup.people.mailRefused', { reason: rejected.get(id) ?? '' })}
                      </span>
                    )}
                  </td>
                  <td>
                    {leftAt === null
                      ? describeRoles(t, roles)
                      : t('setup.people.left', { day: formatDay(t, leftAt, zone, now) })}
                  </td>
                  <td data-head={t('setup.people.zoneColumn')}>{zone}</td>
                  <td data-head={t('setup.people.sinceColumn')}>{formatDay(t, createdAt, zone, now)}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </section>
      )}
      <h2>{t('setup.people.add')}</h2>
      <PersonForm
        id={null}
        form={refused?.form ?? { values: {}, problems: [] }}
        roles={refused?.roles ?? NO_ROLES}
        hasLeft={false}
        draft={refused?.draft}
        register={register}
        now={now}
      />
    </>
  )
}

/** How many people a list just added and changed, as the address says. */
function ImportNotice({ searchParams }: { searchParams: SearchParams }) {
  const t = useTranslate()
  const [added, changed] = [searchParams.added, searchParams.changed].map(
    (one) => /^\d{1,6}$/.exec(String(one))?.[0],
  )
  if (added === undefined || changed === undefined) return null
  return (
    <p className={styles.done} role="status">
      {t('setup.people.imported', { added: Number(added), changed: Number(changed) })}
    </p>
  )
}
