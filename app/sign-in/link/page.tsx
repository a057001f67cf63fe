import type { Metadata } from 'next'
import { Link } from '../../ui/Link'
import styles from '../SignIn.module.css'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'Sign in' }

type Params = Promise<Record<string, string | string[] | undefined>>

/** Only a button: what looks through mail opens every link in it, and must not use this one up. */
export default async function LinkPage({ searchParams }: { searchParams: Params }) {
  const token = [(await searchParams).token].flat()[0] ?? ''
  if (!/^[\w-]{43}$/.test(token))
    return (
      <div className="prose">
        <h1>This link is not whole.</h1>
        <p>
          Part of it was lost on the way. Open it from the mail again, or{' '}
          <Link href="/sign-in">ask for another</Link>.
        </p>
      </div>
    )
  return (
    <div className="prose">
      <h1>Sign in to Holdfast</h1>
      <form method="post" action="/api/sign-in/link" className={styles.form}>
        <input type="hidden" name="token" value={token} />
        <p>Press once, on the device that you want to use.</p>
        <button type="submit">Sign in here</button>
      </form>
    </div>
  )
}
