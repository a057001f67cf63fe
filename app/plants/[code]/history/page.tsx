import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { cache } from 'react'
import { olderThan } from '@/app/audit/olderPages'
import { pageVisitor } from '@/lib/access/guard'
import { scopeOf } from '@/lib/policy/principal'
import { includesPlant } from '@/lib/policy/scope'
import { HISTORY_KEY, plantHistory } from '@/lib/store/read/plant/plantHistory'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { DemoLine } from '../../../ui/DemoLine'
import { HistoryReport } from './HistoryReport'

export const dynamic = 'force-dynamic'

const PAGE_SIZE = 50

type Props = {
  params: Promise<{ code: string }>
  searchParams: Promise<Record<string, string | string[] | undefined>>
}

/** One question per request, for the title and the page alike. */
const historyOf = cache(async (code: string, older: string | null) => {
  const person = await pageVisitor('page /plants/[code]/history')
  return plantHistory(sharedPool(), scopeOf(person), decodeURIComponent(code), older, PAGE_SIZE, Date.now())
})

export async function generateMetadata({ params, searchParams }: Props): Promise<Metadata> {
  const page = await historyOf((await params).code, olderThan(await searchParams, HISTORY_KEY))
  return { title: page ? `Settled samples of ${page.plant.name}` : 'No such plant' }
}

export default async function PlantHistoryPage({ params, searchParams }: Props) {
  const older = olderThan(await searchParams, HISTORY_KEY)
  const page = (await historyOf((await params).code, older)) ?? notFound()
  const person = await pageVisitor('page /plants/[code]/history')
  const isWhole = includesPlant(scopeOf(person), page.plant.code)
  return (
    <>
      <DemoLine isDemo={page.isDemo} />
      <HistoryReport page={page} isOlder={older !== null} isWhole={isWhole} />
    </>
  )
}
