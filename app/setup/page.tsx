import type { Metadata } from 'next'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { spellNumber } from '@/app/ui/words/number'
import { requireUser } from '@/lib/access/guard'
import { listPeople } from '@/lib/access/people/managePeople'
import type { Translate } from '@/lib/messages/translate'
import { readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { Link } from '../ui/Link'
import { findFirstMissing, SETUP_ORDER } from './setupOrder'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'Set-up' }

export default async function SetupPage() {
  const t = await getTranslate()
  await requireUser('page /setup')
  const register = await readRegisterDocument(getAppPool())
  const known = (await listPeople()).filter(({ leftAt }) => leftAt === null)
  const next = findFirstMissing(register)
  return (
    <>
      <h1>Set-up</h1>
      <p className="prose">
        {next
          ? `${next.emptyText} ${next.reason}`
          : 'All that a programme needs is here. Each list can be added to and changed at any time; a change to a calendar or a protocol is shown before it is made.'}
        {next && (
          <>
            {' '}
            <Link href={`/setup/add/${next.list}`}>{next.addLabel}</Link>.
          </>
        )}
      </p>
      <ol>
        {SETUP_ORDER.map(({ list, title: many }) => (
          <li key={list}>
            <Link href={`/setup/${list}`}>{many}</Link>: {describeCount(t, register[list].length)}
          </li>
        ))}
        <li>
          <Link href="/setup/office">The office’s days</Link>
        </li>
        <li>
          <Link href="/setup/people">People</Link>: {describeCount(t, known.length)}
        </li>
      </ol>
      <p>
        <a href="/api/register" download="register.json">
          The whole register as one file
        </a>
        , as another Holdfast takes it.
      </p>
    </>
  )
}

const describeCount = (t: Translate, count: number) => (count === 0 ? 'none yet' : spellNumber(t, count))
