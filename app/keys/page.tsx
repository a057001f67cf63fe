import type { Metadata } from 'next'
import { pageVisitor } from '@/lib/access/guard'
import { takeMadeKey } from '@/lib/access/keys/programmeKeys'
import { listKeys } from '@/lib/store/people/keys'
import { sharedDoor } from '@/lib/store/scope/sharedPool'
import { KeyReport } from './KeyReport'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'Keys for machines' }

type Params = Promise<Record<string, string | string[] | undefined>>

export default async function KeysPage({ searchParams }: { searchParams: Params }) {
  const visitor = await pageVisitor('page /keys')
  const { made, revoked } = await searchParams
  const shown = typeof made === 'string' ? takeMadeKey(visitor, made) : undefined
  return (
    <KeyReport
      keys={await listKeys(sharedDoor())}
      made={shown}
      revoked={[revoked].flat()[0]}
      now={Date.now()}
    />
  )
}
