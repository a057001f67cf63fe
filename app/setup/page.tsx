import type { Metadata } from 'next'
import { numberWords } from '@/app/ui/words/numberWords'
import { pageVisitor } from '@/lib/access/guard'
import { people } from '@/lib/access/people/enterPeople'
import { registerNow } from '@/lib/store/ledger/registerEntries'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { Link } from '../ui/Link'
import { missingFirst, SETUP_ORDER } from './setupOrder'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'Set-up' }

export default async function SetupPage() {
  await pageVisitor('page /setup')
  const register = await registerNow(sharedPool())
  const known = (await people()).filter(({ leftAt }) => leftAt === null)
  const next = missingFirst(register)
  return (
    <>
      <h1>Set-up</h1>
      <p className="prose">
        {next
          ? `${next.missing} ${next.because}`
          : 'All that a programme needs is here. Each list can be added to and changed at any time; a change to a calendar or a protocol is shown before it is made.'}
        {next && (
          <>
            {' '}
            <Link href={`/setup/add/${next.list}`}>{next.act}</Link>.
          </>
        )}
      </p>
      <ol>
        {SETUP_ORDER.map(({ list, many }) => (
          <li key={list}>
            <Link href={`/setup/${list}`}>{many}</Link>: {howMany(register[list].length)}
          </li>
        ))}
        <li>
          <Link href="/setup/office">The office’s days</Link>
        </li>
        <li>
          <Link href="/setup/people">People</Link>: {howMany(known.length)}
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

const howMany = (count: number) => (count === 0 ? 'none yet' : numberWords(count))
