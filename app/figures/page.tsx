import type { Metadata } from 'next'
import { pageVisitor } from '@/lib/access/guard'
import { figures } from '@/lib/store/read/figures/figures'
import { pooledTurnaround } from '@/lib/store/read/figures/turnaround'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { DemoLine } from '../ui/DemoLine'
import { FiguresReport } from './FiguresReport'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'Figures' }

export default async function FiguresPage() {
  await pageVisitor('page /figures')
  const now = Date.now()
  const [found, times] = [await figures(sharedPool(), now), await pooledTurnaround(sharedPool(), now)]
  return (
    <>
      <DemoLine isDemo={found.isDemo} />
      <FiguresReport figures={found} times={times} />
    </>
  )
}
