import type { Metadata } from 'next'
import { DEMO_PARTS, isDemo } from '@/lib/access/demo'
import { wantedPath } from '@/lib/access/wanted'
import { DemoRoles } from '../ui/DemoRoles'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'Sign in' }

type Params = Promise<Record<string, string | string[] | undefined>>

export default async function SignInPage({ searchParams }: { searchParams: Params }) {
  const to = wantedPath([(await searchParams).to].flat()[0])
  return (
    <div className="prose">
      <h1>Sign in</h1>
      {(await isDemo()) && <DemoRoles parts={DEMO_PARTS} to={to} />}
    </div>
  )
}
