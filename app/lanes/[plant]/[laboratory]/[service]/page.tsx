import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { cache } from 'react'
import { requireUser } from '@/lib/access/guard'
import { getScope } from '@/lib/policy/principal'
import { readLanePage } from '@/lib/store/read/lanes/lanePage'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { DemoNotice } from '../../../../ui/DemoNotice'
import { parseLaneAddress } from '../../../laneAddress'
import { LaneReport } from './LaneReport'

export const dynamic = 'force-dynamic'

type Props = { params: Promise<Record<'plant' | 'laboratory' | 'service', string>> }

/** One question per request, for the title and the page alike. */
const loadLane = cache(async (plant: string, laboratory: string, service: string) => {
  const person = await requireUser('page /lanes/[plant]/[laboratory]/[service]')
  const way = parseLaneAddress({ plant, laboratory, service })
  return way && readLanePage(getAppPool(), getScope(person), way, Date.now())
})

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  const { plant, laboratory, service } = await params
  const page = await loadLane(plant, laboratory, service)
  return { title: page ? `${page.plant.name} to ${page.laboratory.name}` : 'No such lane' }
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
