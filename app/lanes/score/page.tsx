import type { Metadata } from 'next'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { requireUser } from '@/lib/access/guard'
import { seesAll } from '@/lib/policy/personRoles'
import { readBacktestPage } from '@/lib/store/read/lanes/backtestPage'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { DemoNotice } from '../../ui/DemoNotice'
import { AutoRefresh } from './AutoRefresh'
import { ScoreReport } from './ScoreReport'

export const dynamic = 'force-dynamic'
export async function generateMetadata(): Promise<Metadata> {
  const t = await getTranslate()
  return { title: t('scores.title') }
}

export default async function ScorePage() {
  const { roles } = await requireUser('page /lanes/score')
  const isPooled = !seesAll(roles)
  const page = await readBacktestPage(getAppPool(), isPooled, Date.now())
  return (
    <>
      {page.scores === null && <AutoRefresh />}
      <DemoNotice isDemo={page.isDemo} />
      <ScoreReport page={page} isPooled={isPooled} />
    </>
  )
}
