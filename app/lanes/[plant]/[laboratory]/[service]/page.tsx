import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { cache } from 'react'
import { pageVisitor } from '@/lib/access/guard'
import { scopeOf } from '@/lib/policy/principal'
import { lanePage } from '@/lib/store/read/lanes/lanePage'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { DemoLine } from '../../../../ui/DemoLine'
import { laneNamed } from '../../../laneAddress'
import { LaneReport } from './LaneReport'

export const dynamic = 'force-dynamic'

type Props = { params: Promise<Record<'plant' | 'laboratory' | 'service', string>> }

/** One question per request, for the title and the page alike. */
const laneOf = cache(async (plant: string, laboratory: string, service: string) => {
  const person = await pageVisitor('page /lanes/[plant]/[laboratory]/[service]')
  const way = laneNamed({ plant, laboratory, service })
  return way && lanePage(sharedPool(), scopeOf(person), way, Date.now())
})

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  const { plant, laboratory, service } = await params
  const page = await laneOf(plant, laboratory, service)
  return { title: page ? `${page.plant.name} to ${page.laboratory.name}` : 'No such lane' }
}

export default async function OneLanePage({ params }: Props) {
  const { plant, laboratory, service } = await params
  const page = (await laneOf(plant, laboratory, service)) ?? notFound()
  return (
    <>
      <DemoLine isDemo={page.isDemo} />
      <LaneReport page={page} />
    </>
  )
}
