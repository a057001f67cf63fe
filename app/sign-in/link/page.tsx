import type { Metadata } from 'next'
import { rich } from '@/app/ui/language/rich'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { Link } from '../../ui/Link'
import styles from '../SignIn.module.css'

export const dynamic = 'force-dynamic'
export async function generateMetadata(): Promise<Metadata> {
  const t = await getTranslate()
  return { title: t('signIn.title') }
}

type Params = Promise<Record<string, string | string[] | undefined>>

/** Shows only a button: mail scanners open every link, and must not use up the token. */
export default async function LinkPage({ searchParams }: { searchParams: Params }) {
  const t = await getTranslate()
  const token = [(await searchParams).token].flat()[0] ?? ''
  if (!/^[\w-]{43}$/.test(token))
    return (
      <div className="prose">
        <h1>{t('signIn.link.brokenTitle')}</h1>
        <p>{rich(t, 'signIn.link.broken', { again: (text) => <Link href="/sign-in">{text}</Link> })}</p>
      </div>
    )
  return (
    <div className="prose">
      <h1>{t('signIn.link.title')}</h1>
      <form method="post" action="/api/sign-in/link" className={styles.form}>
        <input type="hidden" name="token" value={token} />
        <p>{t('signIn.link.intro')}</p>
        <button type="submit">{t('signIn.link.submit')}</button>
      </form>
    </div>
  )
}
