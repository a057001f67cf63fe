import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { cache } from 'react'
import { ShipWindows } from '@/app/plants/[code]/ShipWindows'
import styles from '@/app/ui/EventForm.module.css'
import { Day } from '@/app/ui/Instant'
import { Link } from '@/app/ui/Link'
import { RecordedNotice } from '@/app/ui/RecordedNotice'
import { requireUser } from '@/lib/access/guard'
import { formatKitCode } from '@/lib/custody/kitCode'
import { mayRecord } from '@/lib/policy/mayRecord'
import { getScope } from '@/lib/policy/principal'
import { readReporterNames } from '@/lib/store/people/people'
import { getSampleDossier, type SampleDossier } from '@/lib/store/read/sample/sampleDossier'
import { getKitShipWindows, type ShipPage } from '@/lib/store/read/ship/shipWindows'
import { getAppPool, getAuthPool } from '@/lib/store/scope/sharedPool'
import { AutoRefresh } from '../../ui/AutoRefresh'
import { DemoNotice } from '../../ui/DemoNotice'
import { QueryProvider } from '../../ui/QueryProvider'
import { ViewerProvider } from '../../ui/ViewerProvider'
import { loadEventFormState } from './eventFormState'
import { isRecordingCut, RecordPanel } from './RecordPanel'
import { SampleReport } from './SampleReport'

export const dynamic = 'force-dynamic'

type Props = {
  params: Promise<{ code: string }>
  searchParams: Promise<Record<string, string | string[] | undefined>>
}

/** One question per request, for the title and the page alike. */
const getDossier = cache(async (code: string) =>
  getSampleDossier(
    getAppPool(),
    getScope(await requireUser('page /samples/[code]')),
    decodeURIComponent(code),
    Date.now(),
  ),
)

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  const dossier = await getDossier((await params).code)
  return { title: dossier ? `${formatKitCode(dossier.row.code)}, ${dossier.row.standing}` : 'No such sample' }
}

export default async function SamplePage({ params, searchParams }: Props) {
  const dossier = (await getDossier((await params).code)) ?? notFound()
  const person = await requireUser('page /samples/[code]')
  const recording = await loadEventFormState(dossier, person, await searchParams)
  const ship = await getKitShipWindows(getAppPool(), getScope(person), dossier.row.code, dossier.asOf)
  const reporters = Object.values(dossier.receipts).map(({ reportedBy }) => reportedBy)
  const names = await readReporterNames(getAuthPool(), reporters)
  return (
    <>
      <DemoNotice isDemo={dossier.isDemo} />
      <ViewerProvider roles={person.roles}>
        <SampleReport
          dossier={dossier}
          names={names}
          changeable={recording.changeableKeys}
          isCautionAtForm={isRecordingCut(recording)}
        >
          <DeviationList dossier={dossier} mayRule={recording.kinds.includes('ruling')} />
          <RecordPanel recording={recording}>
            <RecordedNotice
              events={recording.recorded}
              now={dossier.asOf}
              from="sample"
              canUndo={({ kind }) => mayRecord(person, kind, dossier.sample.kit)}
            />
          </RecordPanel>
          <KitShipWindows page={ship} />
        </SampleReport>
      </ViewerProvider>
      <QueryProvider>
        <AutoRefresh asOf={dossier.asOf} />
      </QueryProvider>
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
        {sample.deviations.map(({ key, what, at, decision: ruled }) => (
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
