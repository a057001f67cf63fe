import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { cache } from 'react'
import { pageVisitor } from '@/lib/access/guard'
import { scopeOf } from '@/lib/access/principal'
import { displayCode } from '@/lib/custody/kitCode'
import { sampleDossier } from '@/lib/store'
import { DemoLine } from '../../ui/DemoLine'
import { KeepFresh } from '../../ui/KeepFresh'
import { LiveQueries } from '../../ui/LiveQueries'
import { SampleReport } from '../../ui/SampleReport'

export const dynamic = 'force-dynamic'

type Props = { params: Promise<{ code: string }> }

/** One question per request, for the title and the page alike. */
const dossierOf = cache(async (code: string) =>
  sampleDossier(scopeOf(await pageVisitor('page /samples/[code]')), decodeURIComponent(code), Date.now()),
)

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  const dossier = await dossierOf((await params).code)
  return { title: dossier ? `${displayCode(dossier.row.code)}, ${dossier.row.standing}` : 'No such sample' }
}

export default async function SamplePage({ params }: Props) {
  const dossier = (await dossierOf((await params).code)) ?? notFound()
  return (
    <>
      <DemoLine isDemo={dossier.isDemo} />
      <SampleReport dossier={dossier} />
      <LiveQueries>
        <KeepFresh asOf={dossier.asOf} />
      </LiveQueries>
    </>
  )
}
