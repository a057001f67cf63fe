import type { Metadata } from 'next'
import { CuttingCaution } from '@/app/ui/CuttingCaution'
import { DemoNotice } from '@/app/ui/DemoNotice'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { QueryProvider } from '@/app/ui/QueryProvider'
import { ViewerProvider } from '@/app/ui/ViewerProvider'
import { requireUser } from '@/lib/access/guard'
import { getScope } from '@/lib/policy/principal'
import { getBoard } from '@/lib/store/read/board'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { readBoardFilter } from './boardFilter'
import { LiveBoard } from './LiveBoard'

export const dynamic = 'force-dynamic'

export async function generateMetadata(): Promise<Metadata> {
  const t = await getTranslate()
  return { title: { absolute: t('board.title') } }
}

type Params = Promise<Record<string, string | string[] | undefined>>

export default async function BoardPage({ searchParams }: { searchParams: Params }) {
  const params = await searchParams
  const filter = readBoardFilter((key) => [params[key]].flat()[0])
  const person = await requireUser('page /')
  const initial = await getBoard(getAppPool(), getScope(person), filter, Date.now())
  return (
    <QueryProvider>
      <DemoNotice isDemo={initial.isDemo} />
      <ViewerProvider roles={person.roles}>
        <LiveBoard initial={initial} initialFilter={filter} />
      </ViewerProvider>
      {person.roles.plants.length > 0 && <CuttingCaution />}
    </QueryProvider>
  )
}
