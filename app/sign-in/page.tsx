import type { Metadata } from 'next'
import { isDemoDatabase } from '@/lib/access/session/demoPeople'
import { visitor } from '@/lib/access/session/visitor'
import { WRONGS, wantedPath } from '@/lib/access/session/wanted'
import { mailNotice } from '@/lib/digest/delivery/mailNotice'
import { TOLD_ROLES } from '@/lib/policy/personRoles'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { DemoRoles } from './DemoRoles'
import { MailNotice } from './MailNotice'
import { SignInForm } from './SignInForm'
import { UsePasskey } from './UsePasskey'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'Sign in' }

type Params = Promise<Record<string, string | string[] | undefined>>

export default async function SignInPage({ searchParams }: { searchParams: Params }) {
  const params = await searchParams
  const one = (key: string) => [params[key]].flat()[0]
  const to = wantedPath(one('to'))
  return (
    <div className="prose">
      <h1>Sign in</h1>
      <SignInForm to={to} wrong={WRONGS.find((wrong) => wrong === one('wrong')) ?? null} />
      <UsePasskey to={to} />
      {(await isDemoDatabase(sharedPool())) && <DemoRoles roles={TOLD_ROLES} to={to} />}
      <MailNotice outbox={mailNotice(await visitor())} />
    </div>
  )
}
