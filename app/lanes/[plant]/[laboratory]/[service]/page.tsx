import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { cache } from 'react'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { requireUser } from '@/lib/access/guard'
import { getScope } from '@/lib/policy/principal'
import { readLanePage } from '@/lib/store/read/lanes/lanePage'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { DemoNotice } from '../../../../ui/DemoNotice'
import { parseLaneAddress } from '../../../laneAddress'
import { LaneReport } from './LaneReport'

export const dynamic = 'force-dynamic'

type Props = { params: Promise<Record<'plant' | 'laboratory' | 'service', string>> }

/** One query per request, for the title and the page alike. */
const loadLane = cache(async (plant: string, laboratory: string, service: string) => {
  const person = await requireUser('page /lanes/[plant]/[laboratory]/[service]')
  const lane = parseLaneAddress({ plant, laboratory, service })
  return lane && readLanePage(getAppPool(), getScope(person), lane, Date.now())
})

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  const { plant, laboratory, service } = await params
  const page = await loadLane(plant, laboratory, service)
  const t = await getTranslate()
  return {
    title: page
      ? t('lanes.name', { plant: page.plant.name, laboratory: page.laboratory.name })
      : t('lanes.one.notFound'),
  }
}

export default async function OneLanePage({ params }: Props) {
  const { plant, laboratory, service } = await params
  const page = (await loadLane(plant, laboratory, service)) ?? notFound()
  return (
    <>
      <DemoNotice isDemo={page.isDemo} />
      <LaneReport page={page} />
    </>
  )
}
