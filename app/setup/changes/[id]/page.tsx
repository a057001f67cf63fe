import type { Metadata } from 'next'
import { instantWords } from '@/app/ui/words/instantWords'
import { pageVisitor } from '@/lib/access/guard'
import { actorOf } from '@/lib/access/session/actor'
import { registerNow } from '@/lib/store/ledger/registerEntries'
import { tryChange } from '@/lib/store/register/changeRegister'
import { draftOf } from '@/lib/store/register/setupDraft'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { ConfirmForm, MovedNote } from '../../ConfirmForm'
import { readDraft } from '../../draft'
import styles from '../../Form.module.css'
import { SetupPath } from '../../SetupPath'
import { Effect } from './Effect'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'What would change' }

interface Props {
  params: Promise<{ id: string }>
  searchParams: Promise<Record<string, string | string[] | undefined>>
}

export default async function ChangesPage({ params, searchParams }: Props) {
  const actor = actorOf(await pageVisitor('page /setup/changes/[id]'), null)
  const { id } = await params
  const draft = readDraft(await draftOf(sharedPool(), actor, id))
  if (!draft)
    return (
      <>
        <SetupPath />
        <h1>This change is not waiting any more.</h1>
        <p>It was made, given up, or left for more than a day. Nothing else happened.</p>
      </>
    )
  const now = Date.now()
  const { effect, problems } = await tryChange(sharedPool(), draft.edits, {
    holdsFromAt: draft.holdsFromAt,
    actor,
    now,
  })
  const { moved } = await searchParams
  return (
    <>
      <SetupPath list={draft.list} />
      <h1>What would change</h1>
      <MovedNote moved={moved} />
      {draft.holdsFromAt !== null && <p>It would hold from {instantWords(draft.holdsFromAt, 'UTC', now)}.</p>}
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
          <Effect effect={effect} register={await registerNow(sharedPool())} now={now} />
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
