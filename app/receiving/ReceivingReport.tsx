import type { ReactNode } from 'react'
import { useTranslate } from '#translate'
import styles from '@/app/arrivals/DeskReport.module.css'
import { formatLongInstant } from '@/app/ui/words/instant'
import { spellCount, spellNumber } from '@/app/ui/words/number'
import type { Translate } from '@/lib/messages/translate'
import { capitalised } from '@/lib/schedule/firstLetter'
import { formatZone } from '@/lib/schedule/zoneName'
import type { ReceivingList } from '@/lib/store/read/arrivals/receivingList'
import { BulkEventForm } from './BulkEventForm'
import { buildBulkFormState, readTickedCodes } from './bulkFormState'
import { readScan } from './readScan'
import { ScanForm } from './ScanForm'

type Laboratory = ReceivingList['laboratories'][number]
type Params = Record<string, string | string[] | undefined>

/** What is at a laboratory's door or on its way there: tick what has come, and record it as received. */
export function ReceivingReport({
  list,
  params,
  children,
}: {
  list: ReceivingList
  params: Params
  children?: ReactNode
}) {
  const t = useTranslate()
  const isOne = list.laboratories.length === 1
  const first = list.laboratories[0]
  const total = list.laboratories.reduce((sum, { rows, notShown }) => sum + rows.length + notShown, 0)
  const codes = list.laboratories.flatMap(({ rows }) => rows.map(({ code }) => code))
  const scanned = readScannedCodes(t, params, codes)
  return (
    <>
      <p className={styles.when}>
        {isOne && first ? formatLongInstant(t, list.asOf, first.zone, list.asOf) : ''}
      </p>
      <h1 className={styles.heading}>
        {total === 0
          ? 'Nothing is waiting to be received.'
          : `${capitalised(spellCount(t, total, 'sample is', 'samples are'))} to be received.`}
      </h1>
      {children}
      {codes.length > 0 && <ScanForm codes={codes} ticked={scanned} last={[params.scan].flat()[0]} />}
      {list.laboratories
        .filter(({ rows }) => rows.length > 0)
        .map((laboratory) => (
          <section key={laboratory.code} className={`${styles.section} ${styles.narrow}`}>
            <h2>{laboratory.name}</h2>
            <p className={styles.note}>{formatCounts(t, laboratory)}</p>
            <BulkEventForm many={buildFormState(t, laboratory, list, scanned, params)} from="receiving" />
          </section>
        ))}
      {total === 0 && (
        <p className="prose">
          A sample stands here from its hand-over to the carrier until it is recorded as received.
        </p>
      )}
    </>
  )
}

function formatCounts(t: Translate, { rows, notShown }: Laboratory): string {
  const delivered = rows.filter(({ stage }) => stage === 'delivered').length
  const count = (number: number) => (number === 0 ? 'none' : spellNumber(t, number))
  const words = `${capitalised(count(delivered))} delivered, as the carrier says; ${count(rows.length - delivered)} on the way.`
  return notShown > 0 ? `${words} ${capitalised(spellNumber(t, notShown))} more follow these.` : words
}

/** What was scanned on a page without scripts, so far and just now, as far as it is of these codes. */
function readScannedCodes(t: Translate, { ticked, scan }: Params, codes: readonly string[]): string[] {
  const read = [ticked, scan].flat().flatMap((text) => readScan(t, text ?? '', codes).code ?? [])
  return [...new Set(read)]
}

function buildFormState(
  t: Translate,
  { rows, zone }: Laboratory,
  { asOf }: ReceivingList,
  scanned: readonly string[],
  params: Params,
) {
  const ticked = readTickedCodes(params)
  const isMine = ticked !== null && (ticked.length === 0 || rows.some(({ code }) => ticked.includes(code)))
  return buildBulkFormState(
    t,
    'received',
    rows.map((row) => ({
      row,
      beside: [row.plantHeading.name, ...row.waybills.map((waybill) => `waybill ${waybill}`)].join(', '),
      isScanned: scanned.includes(row.code),
    })),
    {
      zone,
      zoneOf: () => zone,
      choices: {
        services: [],
        products: [],
        limits: [],
        deviations: [],
        laboratoryPlace: formatZone(zone),
      },
      now: asOf,
    },
    isMine ? params : {},
  )
}
