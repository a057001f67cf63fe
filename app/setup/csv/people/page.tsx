import type { Metadata } from 'next'
import { requireUser } from '@/lib/access/guard'
import { toActor } from '@/lib/access/session/actor'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { findDraft } from '@/lib/store/register/setupDraft'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { Link } from '../../../ui/Link'
import { CsvForm } from '../../CsvForm'
import { readPeopleDraft } from '../../draft'
import styles from '../../Form.module.css'
import { PEOPLE_COLUMNS } from '../../forms/peopleCsv'
import { ROLE_CHOICES } from '../../forms/personForm'
import type { SearchParams } from '../../people/refusedForms'
import { SetupBreadcrumbs } from '../../SetupBreadcrumbs'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'People from a CSV' }

export default async function PeopleCsvPage({ searchParams }: { searchParams: Promise<SearchParams> }) {
  const asker = await requireUser('page /setup/csv/people')
  const { draft: id } = await searchParams
  const draft =
    typeof id === 'string' ? readPeopleDraft(await findDraft(getAppPool(), toActor(asker, null), id)) : null
  const form = {
    values: { text: draft?.peopleCsv ?? `${PEOPLE_COLUMNS.join(',')}\n` },
    problems: draft?.problems ?? [],
  }
  return (
    <>
      <SetupBreadcrumbs>
        {' / '}
        <Link href="/setup/people">People</Link>
      </SetupBreadcrumbs>
      <h1>People from a CSV</h1>
      <PeopleExample register={await readRegisterDocument(getAppPool())} />
      <CsvForm action="/api/setup/people/csv" form={form} />
    </>
  )
}

/** How a list of people is written, with an example in the codes of the register as far as it has any. */
function PeopleExample({ register }: { register: RegisterDocument }) {
  const [plant, second] = [register.plants[0]?.code ?? 'MILL', register.plants[1]?.code ?? 'DOCK']
  const laboratory = register.laboratories[0]?.code ?? 'NORTH'
  const lines = [
    PEOPLE_COLUMNS.join(','),
    `line@example.org,Line office,Europe/Lisbon,plant contact,${plant},no`,
    `line@example.org,,,plant contact,${second},no`,
    `desk@example.org,Receiving desk,Asia/Kolkata,laboratory desk,${laboratory},no`,
    'board@example.org,Programme board,UTC,reader,,no',
  ]
  return (
    <>
      <p className="prose">
        The first line names the columns. Write a line for each person and role; a person with three roles has
        three lines. The role is {ROLE_CHOICES}; one at a plant or a laboratory has its code as place.
      </p>
      <pre className={styles.example}>{lines.join('\n')}</pre>
      <p className="prose">
        A person is known by the e-mail address. The lines of an address say together all that the person is
        from then on, so a role without a line is taken away, and a single line with no role leaves none. An
        empty name, zone or left stays as it is, as does everything without a column. Someone new needs a
        name; without a zone they read times in that of their first plant or laboratory, else in UTC. With yes
        under left they may sign in no more. Whoever has a line that is refused stays as they are, and so does
        whoever is not named. What would change is shown before anything is done.
      </p>
    </>
  )
}
