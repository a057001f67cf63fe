import type { Metadata } from 'next'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { formatInstant } from '@/app/ui/words/instant'
import { requireUser } from '@/lib/access/guard'
import { toActor } from '@/lib/access/session/actor'
import { readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { previewChange } from '@/lib/store/register/changeRegister'
import { findDraft } from '@/lib/store/register/setupDraft'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { ConfirmForm, OutdatedNotice } from '../../ConfirmForm'
import { readDraft } from '../../draft'
import styles from '../../Form.module.css'
import { SetupBreadcrumbs } from '../../SetupBreadcrumbs'
import { Effect } from './Effect'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'What would change' }

interface Props {
  params: Promise<{ id: string }>
  searchParams: Promise<Record<string, string | string[] | undefined>>
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
        <h1>This change is not waiting any more.</h1>
        <p>It was made, given up, or left for more than a day. Nothing else happened.</p>
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
      <h1>What would change</h1>
      <OutdatedNotice moved={moved} />
      {draft.holdsFromAt !== null && (
        <p>It would hold from {formatInstant(t, draft.holdsFromAt, 'UTC', now)}.</p>
      )}
      {draft.lines.length > 0 && (
        <div className={styles.wrongs}>
          <p>
            {draft.edits.length > 0
              ? 'These lines are refused, and the others can be entered without them:'
              : 'These lines are refused, and nothing is left to be entered:'}
          </p>
          {draft.lines.map(({ line, detail }) => (
            <p key={`${line} ${detail}`}>
              line {line}: {detail}
            </p>
          ))}
        </div>
      )}
      {effect ? (
        draft.edits.length > 0 && (
          <Effect effect={effect} register={await readRegisterDocument(getAppPool())} now={now} />
        )
      ) : (
        <div className={styles.wrongs} role="alert">
          <p>It cannot be done as it is:</p>
          {problems.map(({ code, pointer, detail }) => (
            <p key={`${code} ${pointer} ${detail}`}>
              {code === null ? '' : `${code}: `}
              {detail}
            </p>
          ))}
        </div>
      )}
      <ConfirmForm
        action="/api/setup/changes"
        id={id}
        digest={effect?.digest ?? ''}
        canDo={effect !== null && effect.changes.length > 0}
      />
    </>
  )
}
