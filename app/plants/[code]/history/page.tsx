import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { cache } from 'react'
import { parseOlderThan } from '@/app/audit/pageUrls'
import { requireUser } from '@/lib/access/guard'
import { getScope } from '@/lib/policy/principal'
import { includesPlant } from '@/lib/policy/scope'
import { getPlantHistory, HISTORY_CURSOR } from '@/lib/store/read/plant/plantHistory'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { DemoNotice } from '../../../ui/DemoNotice'
import { getTranslate } from '../../../ui/language/serverTranslate'
import { HistoryReport } from './HistoryReport'

export const dynamic = 'force-dynamic'

const PAGE_SIZE = 50

type Props = {
  params: Promise<{ code: string }>
  searchParams: Promise<Record<string, string | string[] | undefined>>
}

/** Read once per request, for the title and the page alike. */
const getHistory = cache(async (code: string, older: string | null) => {
  const person = await requireUser('page /plants/[code]/history')
  return getPlantHistory(
    getAppPool(),
    getScope(person),
    decodeURIComponent(code),
    older,
    PAGE_SIZE,
    Date.now(),
  )
})

export async function generateMetadata({ params, searchParams }: Props): Promise<Metadata> {
  const page = await getHistory((await params).code, parseOlderThan(await searchParams, HISTORY_CURSOR))
  const t = await getTranslate()
  return {
    title: page ? t('plants.history.title', { plant: page.plant.name }) : t('plants.notFound.title'),
  }
}

export default async function PlantHistoryPage({ params, searchParams }: Props) {
  const older = parseOlderThan(await searchParams, HISTORY_CURSOR)
  const page = (await getHistory((await params).code, older)) ?? notFound()
  const person = await requireUser('page /plants/[code]/history')
  const isWhole = includesPlant(getScope(person), page.plant.code)
  return (
    <>
      <DemoNotice isDemo={page.isDemo} />
      <HistoryReport page={page} isOlder={older !== null} isWhole={isWhole} />
    </>
  )
}
