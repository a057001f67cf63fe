import type { Metadata } from 'next'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { requireUser } from '@/lib/access/guard'
import { readServerState } from '@/lib/store/server/serverState'
import { getRecentRequests } from '@/lib/telemetry/recentRequests'
import { ServerReport } from './ServerReport'

export const dynamic = 'force-dynamic'
export async function generateMetadata(): Promise<Metadata> {
  const t = await getTranslate()
  return { title: t('serverPage.title') }
}

export default async function ServerPage() {
  await requireUser('page /server')
  const now = Date.now()
  const state = await readServerState(now)
  return <ServerReport state={state} requests={getRecentRequests().read(now)} now={now} />
}
