import type { Metadata } from 'next'
import { useTranslate } from '#translate'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { formatDay } from '@/app/ui/words/instant'
import { spellCount } from '@/app/ui/words/number'
import { requireUser } from '@/lib/access/guard'
import { listPeople } from '@/lib/access/people/managePeople'
import { NO_ROLES } from '@/lib/policy/personRoles'
import { capitalised } from '@/lib/schedule/firstLetter'
import { readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { listRejectedAddresses } from '@/lib/store/mail/mailStatus'
import { getAppPool, getAuthPool } from '@/lib/store/scope/sharedPool'
import { Link } from '../../ui/Link'
import table from '../../ui/Table.module.css'
import styles from '../Form.module.css'
import { SetupBreadcrumbs } from '../SetupBreadcrumbs'
import { PersonForm } from './PersonForm'
import { describeRoles, loadRefusedPerson, type SearchParams } from './refusedForms'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'People' }

export default async function PeoplePage({ searchParams }: { searchParams: Promise<SearchParams> }) {
  const t = await getTranslate()
  const asker = await requireUser('page /setup/people')
  const asked = await searchParams
  const [everyone, register, now] = [await listPeople(), await readRegisterDocument(getAppPool()), Date.now()]
  const bad = new Map((await listRejectedAddresses(getAuthPool())).map((one) => [one.personId, one.said]))
  const refused = await loadRefusedPerson(asker, asked, null)
  const entered = everyone.find(({ id }) => id === asked.entered)
  return (
    <>
      <SetupBreadcrumbs />
      <h1>People</h1>
      {entered && (
        <p className={styles.done} role="status">
          Entered: {entered.name}, {describeRoles(t, entered.roles)}.
        </p>
      )}
      <ImportNotice asked={asked} />
      <p>
        Add them <Link href="/setup/csv/people">many at once from a CSV</Link>, or{' '}
        <a href="/api/setup/people/csv">take them out as CSV</a>.
      </p>
      {everyone.length > 0 && (
        <section className={table.scroll} aria-label="Everyone who may sign in">
          <table className={`${table.table} ${table.stack}`}>
            <thead>
              <tr>
                {['Name', 'E-mail', 'Is', 'Zone', 'Since'].map((head) => (
                  <th key={head} scope="col">
                    {head}
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
                    {bad.has(id) && (
                      <span className={table.quiet}>Mail to this person is refused: {bad.get(id)}</span>
                    )}
                  </td>
                  <td>
                    {leftAt === null
                      ? describeRoles(t, roles)
                      : `has left, ${formatDay(t, leftAt, zone, now)}`}
                  </td>
                  <td data-head="zone">{zone}</td>
                  <td data-head="since">{formatDay(t, createdAt, zone, now)}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </section>
      )}
      <h2>Add a person</h2>
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

/** How many a list added and changed just before, as the address has it. */
function ImportNotice({ asked }: { asked: SearchParams }) {
  const t = useTranslate()
  const [added, changed] = [asked.added, asked.changed].map((one) => /^\d{1,6}$/.exec(String(one))?.[0])
  if (added === undefined || changed === undefined) return null
  return (
    <p className={styles.done} role="status">
      {capitalised(spellCount(t, Number(added), 'person', 'people'))} added, and{' '}
      {spellCount(t, Number(changed), 'person', 'people')} changed.
    </p>
  )
}
