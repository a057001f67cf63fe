import type { Metadata } from 'next'
import { headers } from 'next/headers'
import { useTranslate } from '#translate'
import { rich } from '@/app/ui/language/rich'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { getUser } from '@/lib/access/session/currentUser'
import { mayUseDemoRoles } from '@/lib/access/session/demoAccess'
import { parseReturnPath, SIGN_IN_FAULTS, type SignInFault } from '@/lib/access/session/returnPath'
import { findOutboxNotice } from '@/lib/digest/delivery/mail'
import { LISTED_ROLES, type RoleName } from '@/lib/policy/personRoles'
import { isDemoDatabase } from '@/lib/store/people/demoPeople'
import { REQUEST_MINUTES } from '@/lib/store/people/signInRequest'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { MailNotice } from './MailNotice'
import { PasskeyButton } from './PasskeyButton'
import styles from './page.module.css'
import signIn from './SignIn.module.css'

export const dynamic = 'force-dynamic'
export async function generateMetadata(): Promise<Metadata> {
  const t = await getTranslate()
  return { title: t('signIn.title') }
}

type Params = Promise<Record<string, string | string[] | undefined>>

export default async function SignInPage({ searchParams }: { searchParams: Params }) {
  const t = await getTranslate()
  const params = await searchParams
  const one = (key: string) => [params[key]].flat()[0]
  const to = parseReturnPath(one('to'))
  return (
    <div className="prose">
      <h1>{t('signIn.title')}</h1>
      <SignInForm to={to} wrong={SIGN_IN_FAULTS.find((wrong) => wrong === one('wrong')) ?? null} />
      <PasskeyButton to={to} />
      {(await isDemoDatabase(getAppPool())) && (
        <DemoRoles roles={mayUseDemoRoles({ headers: await headers() }) ? LISTED_ROLES : []} to={to} />
      )}
      <MailNotice outbox={findOutboxNotice(await getUser())} />
    </div>
  )
}

const DEMO_LABELS = {
  administrator: 'signIn.demo.administrator',
  reader: 'signIn.demo.reader',
  'plant contact': 'signIn.demo.plantContact',
  'laboratory desk': 'signIn.demo.laboratoryDesk',
} as const

/** A button for each of the demo's people; without any, what to do instead. */
function DemoRoles({ roles, to }: { roles: readonly RoleName[]; to: string | null }) {
  const t = useTranslate()
  if (roles.length === 0)
    return (
      <section>
        <h2>{t('signIn.demo.title')}</h2>
        <p>{rich(t, 'signIn.demo.elsewhere', { command: (text) => <code>{text}</code> })}</p>
      </section>
    )
  return (
    <form method="post" action="/api/sign-in/role" className={styles.roles}>
      {to && <input type="hidden" name="to" value={to} />}
      <h2>{t('signIn.demo.title')}</h2>
      <p>{t('signIn.demo.intro')}</p>
      {roles.map((role) => (
        <button key={role} type="submit" name="role" value={role}>
          {t(DEMO_LABELS[role])}
        </button>
      ))}
    </form>
  )
}

/** The form for the address to which a link and a code are mailed. */
function SignInForm({ to, wrong }: { to: string | null; wrong: SignInFault | null }) {
  const t = useTranslate()
  return (
    <form method="post" action="/api/sign-in" className={signIn.form}>
      {wrong === 'link' && (
        <p role="alert" className={signIn.wrong}>
          {t('signIn.fault.link', { minutes: REQUEST_MINUTES })}
        </p>
      )}
      {wrong === 'passkey' && (
        <p role="alert" className={signIn.wrong}>
          {t('signIn.fault.passkey')}
        </p>
      )}
      {to && <input type="hidden" name="to" value={to} />}
      <label>
        <span>{t('signIn.email')}</span>
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
          {t('signIn.fault.address')}
        </p>
      )}
      <button type="submit">{t('signIn.submit')}</button>
    </form>
  )
}
