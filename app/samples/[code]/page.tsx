import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { cache } from 'react'
import { ShipWindows } from '@/app/plants/[code]/ShipWindows'
import { Day } from '@/app/ui/Instant'
import { Link } from '@/app/ui/Link'
import styles from '@/app/ui/Record.module.css'
import { Recorded } from '@/app/ui/Recorded'
import { pageVisitor } from '@/lib/access/guard'
import { displayCode } from '@/lib/custody/kitCode'
import { mayRecord } from '@/lib/policy/mayRecord'
import { scopeOf } from '@/lib/policy/principal'
import { reporterNames } from '@/lib/store/people/people'
import { type SampleDossier, sampleDossier } from '@/lib/store/read/sample/sampleDossier'
import { kitShipWindows, type ShipPage } from '@/lib/store/read/ship/shipWindows'
import { sharedDoor, sharedPool } from '@/lib/store/scope/sharedPool'
import { DemoLine } from '../../ui/DemoLine'
import { KeepFresh } from '../../ui/KeepFresh'
import { LiveQueries } from '../../ui/LiveQueries'
import { WhoReads } from '../../ui/WhoReads'
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
  const reporters = Object.values(dossier.receipts).map(({ reportedBy }) => reportedBy)
  const names = await reporterNames(sharedDoor(), reporters)
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

/** When a sample that is not yet handed over should be. */
function KitShipWindows({ page }: { page: ShipPage | null }) {
  if (page === null) return null
  return (
    <ShipWindows page={page}>
      to {page.laboratory.name}, by the limits of {page.protocol.name}
    </ShipWindows>
  )
}

/** What was found wrong with a sample, and how it was ruled on; who `mayRule` is led to what waits for it. */
function DeviationList({ dossier, mayRule }: { dossier: SampleDossier; mayRule: boolean }) {
  const { sample, plant, row, asOf } = dossier
  if (sample.deviations.length === 0) return null
  return (
    <section className={styles.panel}>
      <h2>Found wrong</h2>
      <ul className={styles.found}>
        {sample.deviations.map(({ key, what, at, ruled }) => (
          <li key={key}>
            {what ?? 'not said what'}, <Day at={at} zone={plant.zone} now={asOf} />.{' '}
            {ruled ? (
              <>
                Ruled: {ruled.ruling}
                {ruled.reason && `; ${ruled.reason}`}.
              </>
            ) : (
              <>
                The programme has not ruled on it yet.{' '}
                {mayRule && (
                  <Link
                    href={`/samples/${row.code}?${new URLSearchParams({ record: 'ruling', on: key })}#record`}
                    scroll={false}
                  >
                    Rule on it
                  </Link>
                )}
              </>
            )}
          </li>
        ))}
      </ul>
    </section>
  )
}
