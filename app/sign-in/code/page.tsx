import type { Metadata } from 'next'
import { useTranslate } from '#translate'
import { rich } from '@/app/ui/language/rich'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { REQUEST_MINUTES } from '@/lib/store/people/signInRequest'
import { Link } from '../../ui/Link'
import styles from '../SignIn.module.css'

export const dynamic = 'force-dynamic'
export async function generateMetadata(): Promise<Metadata> {
  const t = await getTranslate()
  return { title: t('signIn.code.title') }
}

type Params = Promise<Record<string, string | string[] | undefined>>

export default async function CodePage({ searchParams }: { searchParams: Params }) {
  const t = await getTranslate()
  const params = await searchParams
  const left = /^[0-4]$/.exec([params.left].flat()[0] ?? '')?.[0]
  const hasCode = params.only !== 'link'
  return (
    <div className="prose">
      <h1>{t('signIn.code.title')}</h1>
      <p>{t(hasCode ? 'signIn.code.intro' : 'signIn.code.linkOnly', { minutes: REQUEST_MINUTES })}</p>
      {hasCode && <CodeForm triesLeft={left === undefined ? null : Number(left)} />}
      <p>{rich(t, 'signIn.code.noMail', { again: (text) => <Link href="/sign-in">{text}</Link> })}</p>
    </div>
  )
}

/** The form for the mailed code. `triesLeft` counts the tries left after a wrong code; null before the first try. */
function CodeForm({ triesLeft }: { triesLeft: number | null }) {
  const t = useTranslate()
  const isWrong = triesLeft !== null
  return (
    <form method="post" action="/api/sign-in/code" className={styles.form}>
      <label>
        <span>{t('signIn.code.label')}</span>
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
          {triesLeft === 0 ? t('signIn.code.spent') : t('signIn.code.wrong', { left: triesLeft })}
        </p>
      )}
      <button type="submit">{t('signIn.code.submit')}</button>
    </form>
  )
}
