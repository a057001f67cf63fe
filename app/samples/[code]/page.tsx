import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { cache } from 'react'
import { Recorded } from '@/app/ui/Recorded'
import { pageVisitor } from '@/lib/access/guard'
import { displayCode } from '@/lib/custody/kitCode'
import { mayRecord } from '@/lib/policy/mayRecord'
import { scopeOf } from '@/lib/policy/principal'
import { reporterNames } from '@/lib/store/people/reporterNames'
import { sampleDossier } from '@/lib/store/read/sample/sampleDossier'
import { kitShipWindows } from '@/lib/store/read/ship/shipWindows'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { DemoLine } from '../../ui/DemoLine'
import { KeepFresh } from '../../ui/KeepFresh'
import { LiveQueries } from '../../ui/LiveQueries'
import { WhoReads } from '../../ui/WhoReads'
import { DeviationList } from './DeviationList'
import { KitShipWindows } from './KitShipWindows'
import { RecordPanel, recordsCut } from './RecordPanel'
import { recordingOf } from './recording'
import { SampleReport } from './SampleReport'

export const dynamic = 'force-dynamic'

type Props = {
  params: Promise<{ code: string }>
  searchParams: Promise<Record<string, string | string[] | undefined>>
}

/** One question per request, for the title and the page alike. */
const dossierOf = cache(async (code: string) =>
  sampleDossier(
    sharedPool(),
    scopeOf(await pageVisitor('page /samples/[code]')),
    decodeURIComponent(code),
    Date.now(),
  ),
)

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  const dossier = await dossierOf((await params).code)
  return { title: dossier ? `${displayCode(dossier.row.code)}, ${dossier.row.standing}` : 'No such sample' }
}

export default async function SamplePage({ params, searchParams }: Props) {
  const dossier = (await dossierOf((await params).code)) ?? notFound()
  const person = await pageVisitor('page /samples/[code]')
  const recording = await recordingOf(dossier, person, await searchParams)
  const ship = await kitShipWindows(sharedPool(), scopeOf(person), dossier.row.code, dossier.asOf)
  const names = await reporterNames(Object.values(dossier.receipts).map(({ reportedBy }) => reportedBy))
  return (
    <>
      <DemoLine isDemo={dossier.isDemo} />
      <WhoReads part={person.roles}>
        <SampleReport
          dossier={dossier}
          names={names}
          changeable={recording.changeable}
          isCautionAtForm={recordsCut(recording)}
        >
          <DeviationList dossier={dossier} mayRule={recording.kinds.includes('ruling')} />
          <RecordPanel recording={recording}>
            <Recorded
              events={recording.done}
              now={dossier.asOf}
              from="sample"
              canUndo={({ kind }) => mayRecord(person, kind, dossier.sample.kit)}
            />
          </RecordPanel>
          <KitShipWindows page={ship} />
        </SampleReport>
      </WhoReads>
      <LiveQueries>
        <KeepFresh asOf={dossier.asOf} />
      </LiveQueries>
    </>
  )
}
