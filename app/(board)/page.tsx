import type { Metadata } from 'next'
import { CuttingCaution } from '@/app/ui/CuttingCaution'
import { DemoLine } from '@/app/ui/DemoLine'
import { LiveQueries } from '@/app/ui/LiveQueries'
import { WhoReads } from '@/app/ui/WhoReads'
import { pageVisitor } from '@/lib/access/guard'
import { scopeOf } from '@/lib/policy/principal'
import { board } from '@/lib/store/read/board'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { filterNamed } from './boardAddress'
import { LiveBoard } from './LiveBoard'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: { absolute: 'Board · Holdfast' } }

type Params = Promise<Record<string, string | string[] | undefined>>

export default async function BoardPage({ searchParams }: { searchParams: Params }) {
  const params = await searchParams
  const filter = filterNamed((key) => [params[key]].flat()[0])
  const person = await pageVisitor('page /')
  const initial = await board(sharedPool(), scopeOf(person), filter, Date.now())
  return (
    <LiveQueries>
      <DemoLine isDemo={initial.isDemo} />
      <WhoReads part={person.roles}>
        <LiveBoard initial={initial} initialFilter={filter} />
      </WhoReads>
      {person.roles.plants.length > 0 && <CuttingCaution />}
    </LiveQueries>
  )
}
