import type { Metadata } from 'next'
import { z } from 'zod'
import { requireUser } from '@/lib/access/guard'
import { toActor } from '@/lib/access/session/actor'
import { getOffice } from '@/lib/store/register/office'
import { findDraft } from '@/lib/store/register/setupDraft'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import styles from '../Form.module.css'
import { AreaField, FormProblems, ZoneField } from '../fields'
import { CLOSURE_HINT } from '../forms/closures'
import { SetupBreadcrumbs } from '../SetupBreadcrumbs'
import { WorkdayFields } from '../WorkdayFields'
import { toOfficeValues } from './officeForm'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'The office' }

/** What is kept of the form where it was refused. */
const refused = z.object({
  officeForm: z.record(z.string(), z.string()),
  problems: z.array(z.object({ field: z.string(), detail: z.string() })),
})

interface Props {
  searchParams: Promise<{ draft?: string; entered?: string }>
}

export default async function OfficePage({ searchParams }: Props) {
  const asker = await requireUser('page /setup/office')
  const { draft, entered } = await searchParams
  const before = draft
    ? refused.safeParse(await findDraft(getAppPool(), toActor(asker, null), String(draft))).data
    : undefined
  const form = {
    values: before?.officeForm ?? toOfficeValues(await getOffice(getAppPool())),
    problems: before?.problems ?? [],
  }
  return (
    <>
      <SetupBreadcrumbs />
      <h1>The office</h1>
      {entered && (
        <p className={styles.done} role="status">
          Entered.
        </p>
      )}
      <p className="prose">
        When someone is there to post kits, issue re-collections and rule on deviations. What the programme
        itself has to do is due on one of these days.
      </p>
      <form method="post" action="/api/setup/office" className={styles.form}>
        <div className={styles.wide}>
          <FormProblems form={form} />
        </div>
        <ZoneField form={form} now={Date.now()} hint="Type the city; the office’s days are counted in it." />
        <WorkdayFields form={form} legend="Working days" />
        <div className={styles.wide}>
          <AreaField
            form={form}
            name="closed"
            label="Days on which nobody is there, one a line"
            hint={CLOSURE_HINT}
          />
        </div>
        <div className={styles.acts}>
          <button type="submit">Enter</button>
        </div>
      </form>
    </>
  )
}
