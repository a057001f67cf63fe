import type { Metadata } from 'next'
import { getUser } from '@/lib/access/session/currentUser'
import { parseReturnPath, SIGN_IN_FAULTS, type SignInFault } from '@/lib/access/session/returnPath'
import { findOutboxNotice } from '@/lib/digest/delivery/mail'
import { LISTED_ROLES } from '@/lib/policy/personRoles'
import { isDemoDatabase } from '@/lib/store/people/demoPeople'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { MailNotice } from './MailNotice'
import { PasskeyButton } from './PasskeyButton'
import styles from './page.module.css'
import signIn from './SignIn.module.css'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'Sign in' }

type Params = Promise<Record<string, string | string[] | undefined>>

export default async function SignInPage({ searchParams }: { searchParams: Params }) {
  const params = await searchParams
  const one = (key: string) => [params[key]].flat()[0]
  const to = parseReturnPath(one('to'))
  return (
    <div className="prose">
      <h1>Sign in</h1>
      <SignInForm to={to} wrong={SIGN_IN_FAULTS.find((wrong) => wrong === one('wrong')) ?? null} />
      <PasskeyButton to={to} />
      {(await isDemoDatabase(getAppPool())) && <DemoRoles roles={LISTED_ROLES} to={to} />}
      <MailNotice outbox={findOutboxNotice(await getUser())} />
    </div>
  )
}

/** One press for each of the demo's people. */
function DemoRoles({ roles, to }: { roles: readonly string[]; to: string | null }) {
  return (
    <form method="post" action="/api/sign-in/role" className={styles.roles}>
      {to && <input type="hidden" name="to" value={to} />}
      <h2>Look around the demo</h2>
      <p>Everything in it is invented. Come in as</p>
      {roles.map((role) => (
        <button key={role} type="submit" name="role" value={role}>
          {role}
        </button>
      ))}
    </form>
  )
}

/** Asks for an address to mail a link and a code to. */
function SignInForm({ to, wrong }: { to: string | null; wrong: SignInFault | null }) {
  return (
    <form method="post" action="/api/sign-in" className={signIn.form}>
      {wrong === 'link' && (
        <p role="alert" className={signIn.wrong}>
          That link no longer works: it was used already, or is older than 15 minutes. Ask for another mail.
        </p>
      )}
      {wrong === 'passkey' && (
        <p role="alert" className={signIn.wrong}>
          That passkey was not taken. Try again, or have a link mailed to you.
        </p>
      )}
      {to && <input type="hidden" name="to" value={to} />}
      <label>
        <span>Your e-mail address</span>
        <input
          type="email"
          name="email"
          required
          maxLength={254}
          autoComplete="username webauthn"
          autoCapitalize="none"
          spellCheck={false}
          aria-invalid={wrong === 'address' || undefined}
          aria-describedby={wrong === 'address' ? 'wrong-address' : undefined}
        />
      </label>
      {wrong === 'address' && (
        <p id="wrong-address" role="alert" className={signIn.wrong}>
          That is not an e-mail address. Type it whole, like name@example.org.
        </p>
      )}
      <button type="submit">Mail me a link</button>
    </form>
  )
}
