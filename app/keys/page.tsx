import type { Metadata } from 'next'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { requireUser } from '@/lib/access/guard'
import { consumeNewKey } from '@/lib/access/keys/newKey'
import { listKeys } from '@/lib/store/people/keys'
import { getAuthPool } from '@/lib/store/scope/sharedPool'
import { KeyReport } from './KeyReport'

export const dynamic = 'force-dynamic'
export async function generateMetadata(): Promise<Metadata> {
  const t = await getTranslate()
  return { title: t('keys.title') }
}

type Params = Promise<Record<string, string | string[] | undefined>>

export default async function KeysPage({ searchParams }: { searchParams: Params }) {
  const user = await requireUser('page /keys')
  const { made, revoked } = await searchParams
  const newKey = typeof made === 'string' ? consumeNewKey(user, made) : undefined
  return (
    <KeyReport
      keys={await listKeys(getAuthPool())}
      made={newKey}
      revoked={[revoked].flat()[0]}
      now={Date.now()}
    />
  )
}
