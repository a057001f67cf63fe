import type { Metadata } from 'next'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { formatInstant } from '@/app/ui/words/instant'
import { requireUser } from '@/lib/access/guard'
import { toActor } from '@/lib/access/session/actor'
import { message } from '@/lib/messages/message'
import { readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { previewChange } from '@/lib/store/register/changeRegister'
import { findDraft } from '@/lib/store/register/setupDraft'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { ConfirmForm, OutdatedNotice } from '../../ConfirmForm'
import { readDraft } from '../../draft'
import styles from '../../Form.module.css'
import { SetupBreadcrumbs } from '../../SetupBreadcrumbs'
import type { SearchParams } from '../../searchParams'
import { Effect } from './Effect'

export const dynamic = 'force-dynamic'

export async function generateMetadata(): Promise<Metadata> {
  const t = await getTranslate()
  return { title: t('setup.changes.title') }
}

interface Props {
  params: Promise<{ id: string }>
  searchParams: Promise<SearchParams>
}

export default async function ChangesPage({ params, searchParams }: Props) {
  const t = await getTranslate()
  const actor = toActor(await requireUser('page /setup/changes/[id]'), null)
  const { id } = await params
  const draft = readDraft(await findDraft(getAppPool(), actor, id))
  if (!draft)
    return (
      <>
        <SetupBreadcrumbs />
        <h1>{t('setup.changes.gone')}</h1>
        <p>{t('setup.changes.goneReason')}</p>
      </>
    )
  const now = Date.now()
  const { effect, problems } = await previewChange(getAppPool(), draft.edits, {
    holdsFromAt: draft.holdsFromAt,
    actor,
    now,
  })
  const { moved } = await searchParams
  return (
    <>
      <SetupBreadcrumbs list={draft.list} />
      <h1>{t('setup.changes.title')}</h1>
      <OutdatedNotice moved={moved} />
      {draft.holdsFromAt !== null && (
        <p>{t('setup.changes.holdsFrom', { time: formatInstant(t, draft.holdsFromAt, 'UTC', now) })}</p>
      )}
      {draft.lines.length > 0 && (
        <div className={styles.wrongs}>
          <p>{t(draft.edits.length > 0 ? 'setup.changes.someRefused' : 'setup.changes.allRefused')}</p>
          {draft.lines
            .map(({ line, detail }) =>
              t('setup.changes.line', { line: String(line), problem: t.message(detail) }),
            )
            .map((text) => (
              <p key={text}>{text}</p>
            ))}
        </div>
      )}
      {effect ? (
        draft.edits.length > 0 && (
          <Effect effect={effect} register={await readRegisterDocument(getAppPool())} now={now} />
        )
      ) : (
        <div className={styles.wrongs} role="alert">
          <p>{t('setup.changes.impossible')}</p>
          {problems.map(({ code, pointer, detail }) => (
            <p key={`${code} ${pointer} ${detail.key}`}>
              {t.message(
                code === null ? detail : message('setup.changes.entryProblem', { code, problem: detail }),
              )}
            </p>
          ))}
        </div>
      )}
      <ConfirmForm
        action="/api/setup/changes"
        id={id}
        digest={effect?.digest ?? ''}
        canApply={effect !== null && effect.changes.length > 0}
      />
    </>
  )
}
