import type { Metadata } from 'next'
import Link from 'next/link'
import { actorOf } from '@/lib/access/actor'
import { pageVisitor } from '@/lib/access/guard'
import { draftOf, registerNow } from '@/lib/store'
import { PEOPLE_COLUMNS } from '../../forms/peopleCsv'
import { AreaField, FormProblems } from '../../parts/Field'
import styles from '../../parts/Form.module.css'
import { PeopleExample } from '../../parts/PeopleExample'
import { SetupPath } from '../../parts/SetupPath'
import { readPeopleDraft } from '../../peopleDraft'
import type { Asked } from '../../personState'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'People from a CSV' }

export default async function PeopleCsvPage({ searchParams }: { searchParams: Promise<Asked> }) {
  const asker = await pageVisitor('page /setup/csv/people')
  const { draft: id } = await searchParams
  const draft = typeof id === 'string' ? readPeopleDraft(await draftOf(actorOf(asker, null), id)) : null
  const form = {
    values: { text: draft?.peopleCsv ?? `${PEOPLE_COLUMNS.join(',')}\n` },
    problems: draft?.problems ?? [],
  }
  return (
    <>
      <SetupPath>
        {' / '}
        <Link href="/setup/people">People</Link>
      </SetupPath>
      <h1>People from a CSV</h1>
      <PeopleExample register={await registerNow()} />
      <form
        method="post"
        action="/api/setup/people/csv"
        encType="multipart/form-data"
        className={styles.form}
      >
        <div className={styles.wide}>
          <FormProblems form={form} />
        </div>
        <div className={styles.wide}>
          <AreaField form={form} name="text" label="Paste it here" rows={10} />
        </div>
        <div className={styles.field}>
          <label htmlFor="csvfile">or choose a file</label>
          <input id="csvfile" type="file" name="file" accept=".csv,text/csv" />
        </div>
        <div className={styles.acts}>
          <button type="submit">Show what would change</button>
        </div>
      </form>
    </>
  )
}
