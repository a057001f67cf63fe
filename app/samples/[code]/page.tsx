import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { cache } from 'react'
import { useTranslate } from '#translate'
import { ShipWindows } from '@/app/plants/[code]/ShipWindows'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { RecordedNotice } from '@/app/ui/RecordedNotice'
import { requireUser } from '@/lib/access/guard'
import { formatKitCode } from '@/lib/custody/kitCode'
import { isCutting } from '@/lib/judgement/acts'
import { isResponsible } from '@/lib/judgement/responsibility'
import { getScope, type Person } from '@/lib/policy/principal'
import { may } from '@/lib/policy/reporting'
import { readReporterNames } from '@/lib/store/people/people'
import { type JudgedSample, judgeSample } from '@/lib/store/read/judged/judgedRow'
import { getSampleDossier, type SampleDossier } from '@/lib/store/read/sample/sampleDossier'
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

const getJudged = cache((dossier: SampleDossier) => judgeSample(getAppPool(), dossier.sample, dossier.asOf))

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  const dossier = await getDossier((await params).code)
  const t = await getTranslate()
  if (!dossier) return { title: t('samples.notFound.title') }
  const { code, standing } = dossier.row
  const { fitness } = await getJudged(dossier)
  const said = fitness === 'in question' ? fitness : standing
  return { title: t('samples.title', { code: formatKitCode(code), standing: said.replace(' ', '') }) }
}

export default async function SamplePage({ params, searchParams }: Props) {
  const dossier = (await getDossier((await params).code)) ?? notFound()
  const person = await requireUser('page /samples/[code]')
  const judged = await getJudged(dossier)
  const recording = await loadEventFormState(dossier, judged, person, await searchParams)
  const ship = isToBeSent(judged)
    ? await getKitShipWindows(getAppPool(), getScope(person), dossier.row.code, dossier.asOf)
    : null
  const reporters = Object.values(dossier.receipts).map(({ reportedBy }) => reportedBy)
  const names = await readReporterNames(getAuthPool(), reporters)
  return (
    <>
      <DemoNotice isDemo={dossier.isDemo} />
      <ViewerProvider roles={person.roles}>
        <SampleReport
          dossier={dossier}
          judged={judged}
          formKind={recording.kind}
          names={names}
          changeable={recording.changeableKeys}
          hasCaution={asksToCut(judged, person) && !isRecordingCut(recording)}
        >
          <FindingList
            dossier={dossier}
            names={names}
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

/** Whether the reader is to cut, for the first time or again. */
function asksToCut({ acts }: JudgedSample, { roles }: Person): boolean {
  return acts.some(({ act, actor }) => isCutting(act) && isResponsible(actor, roles))
}

/** Whether it is still to be handed over, once it is cut. */
function isToBeSent({ acts }: JudgedSample): boolean {
  return acts.some(({ act }) => act === 'post it' || act === 'cut it' || act === 'hand it over')
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
