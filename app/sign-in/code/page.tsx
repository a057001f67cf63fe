import type { Metadata } from 'next'
import { useTranslate } from '#translate'
import { spellCount } from '@/app/ui/words/number'
import { capitalised } from '@/lib/schedule/firstLetter'
import { Link } from '../../ui/Link'
import styles from '../SignIn.module.css'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'Look into your mail' }

type Params = Promise<Record<string, string | string[] | undefined>>

export default async function CodePage({ searchParams }: { searchParams: Params }) {
  const left = /^[0-4]$/.exec([(await searchParams).left].flat()[0] ?? '')?.[0]
  return (
    <div className="prose">
      <h1>Look into your mail</h1>
      <p>
        If the address is known here, a mail with a link and a code is on its way. Open the link where you
        want to work, or type the code here. Both work once, for 15 minutes.
      </p>
      <CodeForm triesLeft={left === undefined ? null : Number(left)} />
      <p>
        No mail? Look among the unwanted ones, or <Link href="/sign-in">ask again</Link>. Who may come in is
        entered by the programme’s administrator.
      </p>
    </div>
  )
}

/** Asks for the code of a mail. `triesLeft` is what a wrong one left; null where none was tried. */
function CodeForm({ triesLeft }: { triesLeft: number | null }) {
  const t = useTranslate()
  const isWrong = triesLeft !== null
  return (
    <form method="post" action="/api/sign-in/code" className={styles.form}>
      <label>
        <span>Code</span>
        <input
          className={styles.code}
          name="code"
          required
          inputMode="numeric"
          autoComplete="one-time-code"
          maxLength={12}
          aria-invalid={isWrong || undefined}
          aria-describedby={isWrong ? 'wrong-code' : undefined}
        />
      </label>
      {isWrong && (
        <p id="wrong-code" role="alert" className={styles.wrong}>
          {triesLeft === 0
            ? 'This code no longer works: it was used, is too old, or was typed wrongly too often. Ask for another mail.'
            : `That is not the code of the last mail. ${capitalised(spellCount(t, triesLeft, 'try', 'tries'))} left.`}
        </p>
      )}
      <button type="submit">Sign in</button>
    </form>
  )
}
