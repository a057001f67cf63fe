import type { Metadata } from 'next'
import { z } from 'zod'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { requireUser } from '@/lib/access/guard'
import { toActor } from '@/lib/access/session/actor'
import { messageSchema } from '@/lib/messages/messageSchema'
import { getOffice } from '@/lib/store/register/office'
import { findDraft } from '@/lib/store/register/setupDraft'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import styles from '../Form.module.css'
import { AreaField, FormProblems, ZoneField } from '../fields'
import { SetupBreadcrumbs } from '../SetupBreadcrumbs'
import { WorkdayFields } from '../WorkdayFields'
import { toOfficeValues } from './officeForm'

export const dynamic = 'force-dynamic'

export async function generateMetadata(): Promise<Metadata> {
  const t = await getTranslate()
  return { title: t('setup.office.title') }
}

const refusedFormSchema = z.object({
  officeForm: z.record(z.string(), z.string()),
  problems: z.array(z.object({ field: z.string(), detail: messageSchema })),
})

interface Props {
  searchParams: Promise<{ draft?: string; entered?: string }>
}

export default async function OfficePage({ searchParams }: Props) {
  const t = await getTranslate()
  const user = await requireUser('page /setup/office')
  const { draft, entered } = await searchParams
  const before = draft
    ? refusedFormSchema.safeParse(await findDraft(getAppPool(), toActor(user, null), String(draft))).data
    : undefined
  const form = {
    values: before?.officeForm ?? toOfficeValues(await getOffice(getAppPool())),
    problems: before?.problems ?? [],
  }
  return (
    <>
      <SetupBreadcrumbs />
      <h1>{t('setup.office.title')}</h1>
      {entered && (
        <p className={styles.done} role="status">
          {t('setup.office.saved')}
        </p>
      )}
      <p className="prose">{t('setup.office.note')}</p>
      <form method="post" action="/api/setup/office" className={styles.form}>
        <div className={styles.wide}>
          <FormProblems form={form} />
        </div>
        <ZoneField form={form} now={Date.now()} hint={t('setup.office.zoneHint')} />
        <WorkdayFields form={form} legend={t('setup.workdays.office')} />
        <div className={styles.wide}>
          <AreaField
            form={form}
            name="closed"
            label={t('setup.office.closed')}
            hint={t('setup.field.closedHint')}
          />
        </div>
        <div className={styles.acts}>
          <button type="submit">{t('setup.form.save')}</button>
        </div>
      </form>
    </>
  )
}
