import type { Metadata } from 'next'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { requireUser } from '@/lib/access/guard'
import { getFigures } from '@/lib/store/read/figures/figures'
import { getPooledTurnaround } from '@/lib/store/read/figures/turnaround'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { DemoNotice } from '../ui/DemoNotice'
import { FiguresReport } from './FiguresReport'

export const dynamic = 'force-dynamic'
export async function generateMetadata(): Promise<Metadata> {
  const t = await getTranslate()
  return { title: t('figures.title') }
}

export default async function FiguresPage() {
  await requireUser('page /figures')
  const now = Date.now()
  const [found, times] = [await getFigures(getAppPool(), now), await getPooledTurnaround(getAppPool(), now)]
  return (
    <>
      <DemoNotice isDemo={found.isDemo} />
      <FiguresReport figures={found} times={times} />
    </>
  )
}
