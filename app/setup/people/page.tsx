import type { Metadata } from 'next'
import { dayWords } from '@/app/ui/words/instantWords'
import { countOf } from '@/app/ui/words/numberWords'
import { pageVisitor } from '@/lib/access/guard'
import { people } from '@/lib/access/people/enterPeople'
import { NO_ROLES } from '@/lib/policy/personRoles'
import { capitalised } from '@/lib/schedule/firstLetter'
import { registerNow } from '@/lib/store/ledger/registerEntries'
import { badAddresses } from '@/lib/store/mail/digestFates'
import { sharedDoor, sharedPool } from '@/lib/store/scope/sharedPool'
import { Link } from '../../ui/Link'
import table from '../../ui/Table.module.css'
import styles from '../Form.module.css'
import { type Asked, refusedPerson, roleWords } from '../personState'
import { SetupPath } from '../SetupPath'
import { PersonForm } from './PersonForm'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'People' }

export default async function PeoplePage({ searchParams }: { searchParams: Promise<Asked> }) {
  const asker = await pageVisitor('page /setup/people')
  const asked = await searchParams
  const [everyone, register, now] = [await people(), await registerNow(sharedPool()), Date.now()]
  const bad = new Map((await badAddresses(sharedDoor())).map((one) => [one.personId, one.said]))
  const refused = await refusedPerson(asker, asked, null)
  const entered = everyone.find(({ id }) => id === asked.entered)
  return (
    <>
      <SetupPath />
      <h1>People</h1>
      {entered && (
        <p className={styles.done} role="status">
          Entered: {entered.name}, {roleWords(entered.roles)}.
        </p>
      )}
      <ListDone asked={asked} />
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
                  <td>{leftAt === null ? roleWords(roles) : `has left, ${dayWords(leftAt, zone, now)}`}</td>
                  <td data-head="zone">{zone}</td>
                  <td data-head="since">{dayWords(createdAt, zone, now)}</td>
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
function ListDone({ asked }: { asked: Asked }) {
  const [added, changed] = [asked.added, asked.changed].map((one) => /^\d{1,6}$/.exec(String(one))?.[0])
  if (added === undefined || changed === undefined) return null
  return (
    <p className={styles.done} role="status">
      {capitalised(countOf(Number(added), 'person', 'people'))} added, and{' '}
      {countOf(Number(changed), 'person', 'people')} changed.
    </p>
  )
}
