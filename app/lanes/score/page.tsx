import type { Metadata } from 'next'
import { pageVisitor } from '@/lib/access/guard'
import { seesAll } from '@/lib/policy/personRoles'
import { backtestPage } from '@/lib/store/read/lanes/backtestPage'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { DemoLine } from '../../ui/DemoLine'
import { LookAgain } from './LookAgain'
import { ScoreReport } from './ScoreReport'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'How good the forecasts have been' }

export default async function ScorePage() {
  const { roles } = await pageVisitor('page /lanes/score')
  const isPooled = !seesAll(roles)
  const page = await backtestPage(sharedPool(), isPooled, Date.now())
  return (
    <>
      {page.scores === null && <LookAgain />}
      <DemoLine isDemo={page.isDemo} />
      <ScoreReport page={page} isPooled={isPooled} />
    </>
  )
}
