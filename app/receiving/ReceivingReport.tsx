import type { ReactNode } from 'react'
import { useTranslate } from '#translate'
import styles from '@/app/arrivals/DeskReport.module.css'
import { formatLongInstant } from '@/app/ui/words/instant'
import { spellFirstNumber } from '@/app/ui/words/number'
import type { Translate } from '@/lib/messages/translate'
import { formatZone } from '@/lib/schedule/zoneName'
import type { ReceivingList } from '@/lib/store/read/arrivals/receivingList'
import { BulkEventForm } from './BulkEventForm'
import { buildBulkFormState, readTickedCodes } from './bulkFormState'
import { readScan } from './readScan'
import { ScanForm } from './ScanForm'

type Laboratory = ReceivingList['laboratories'][number]
type Params = Record<string, string | string[] | undefined>

/** Samples delivered to a laboratory or on their way to it: tick those that have come, and record their receipt. */
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
  const scanned = readScannedCodes(params, codes)
  return (
    <>
      <p className={styles.when}>
        {isOne && first ? formatLongInstant(t, list.asOf, first.zone, list.asOf) : ''}
      </p>
      <h1 className={styles.heading}>
        {t('receiving.heading', { count: total, spelled: spellFirstNumber(t, total) })}
      </h1>
      {children}
      {codes.length > 0 && <ScanForm codes={codes} ticked={scanned} last={[params.scan].flat()[0]} />}
      {list.laboratories
        .filter(({ rows }) => rows.length > 0)
        .map((laboratory) => (
          <section key={laboratory.code} className={`${styles.section} ${styles.narrow}`}>
            <h2>{laboratory.name}</h2>
            <Counts laboratory={laboratory} />
            <BulkEventForm state={buildFormState(t, laboratory, list, scanned, params)} from="receiving" />
          </section>
        ))}
      {total === 0 && <p className="prose">{t('receiving.empty')}</p>}
    </>
  )
}

function Counts({ laboratory: { rows, notShown } }: { laboratory: Laboratory }) {
  const t = useTranslate()
  const delivered = rows.filter(({ stage }) => stage === 'delivered').length
  return (
    <p className={styles.note}>
      {t('receiving.counts', { delivered, underWay: rows.length - delivered })}{' '}
      {notShown > 0 && t('receiving.more', { count: notShown })}
    </p>
  )
}

/** Those of `codes` that were scanned without scripts, so far and just now. */
function readScannedCodes({ ticked, scan }: Params, codes: readonly string[]): string[] {
  const read = [ticked, scan].flat().flatMap((text) => readScan(text ?? '', codes).code ?? [])
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
      context: t('receiving.sampleFrom', {
        plant: row.plantHeading.name,
        count: row.waybills.length,
        waybills: t.list(row.waybills),
      }),
      isScanned: scanned.includes(row.code),
    })),
    {
      zone,
      getZone: () => zone,
      choices: {
        services: [],
        products: [],
        limits: [],
        findings: [],
        untilPlace: formatZone(zone),
      },
      now: asOf,
    },
    isMine ? params : {},
  )
}
