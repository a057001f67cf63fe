import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { cache } from 'react'
import { useTranslate } from '#translate'
import { ShipWindows } from '@/app/plants/[code]/ShipWindows'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { RecordedNotice } from '@/app/ui/RecordedNotice'
import { requireUser } from '@/lib/access/guard'
import { formatKitCode } from '@/lib/custody/kitCode'
import { getScope } from '@/lib/policy/principal'
import { may } from '@/lib/policy/reporting'
import { readReporterNames } from '@/lib/store/people/people'
import { getSampleDossier } from '@/lib/store/read/sample/sampleDossier'
import { getKitShipWindows, type ShipPage } from '@/lib/store/read/ship/shipWindows'
import { getAppPool, getAuthPool } from '@/lib/store/scope/sharedPool'
import { AutoRefresh } from '../../ui/AutoRefresh'
import { DemoNotice } from '../../ui/DemoNotice'
import { QueryProvider } from '../../ui/QueryProvider'
import { ViewerProvider } from '../../ui/ViewerProvider'
import { loadEventFormState } from './eventFormState'
import { FindingList } from './FindingList'
import { isRecordingCut, RecordPanel } from './RecordPanel'
import { SampleReport } from './SampleReport'

export const dynamic = 'force-dynamic'

type Props = {
  params: Promise<{ code: string }>
  searchParams: Promise<Record<string, string | string[] | undefined>>
}

/** Read once per request, for the title and the page alike. */
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
  const t = await getTranslate()
  if (!dossier) return { title: t('samples.notFound.title') }
  const { code, standing } = dossier.row
  return { title: t('samples.title', { code: formatKitCode(code), standing: standing.replace(' ', '') }) }
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
          <FindingList
            dossier={dossier}
            mayRule={recording.kinds.includes('ruling')}
            takeBack={recording.takeBack}
          />
          <RecordPanel recording={recording}>
            <RecordedNotice
              events={recording.recorded}
              now={dossier.asOf}
              from="sample"
              canUndo={({ kind }) => may(person, kind, dossier.sample.kit)}
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

/** When to hand over a sample that has not been handed over. */
function KitShipWindows({ page }: { page: ShipPage | null }) {
  const t = useTranslate()
  if (page === null) return null
  const { laboratory, protocol } = page
  return (
    <ShipWindows page={page}>
      {t('plants.ship.about', { laboratory: laboratory.name, protocol: protocol.name })}
    </ShipWindows>
  )
}
