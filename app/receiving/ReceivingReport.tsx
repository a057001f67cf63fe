import type { ReactNode } from 'react'
import { useTranslate } from '#translate'
import styles from '@/app/arrivals/DeskReport.module.css'
import { formatLongInstant } from '@/app/ui/words/instant'
import { spellFirstNumber } from '@/app/ui/words/number'
import { formatWhereabouts } from '@/app/ui/words/stage'
import { formatStatus } from '@/app/ui/words/standing'
import type { Translate } from '@/lib/messages/translate'
import type { Person } from '@/lib/policy/principal'
import { isReceived, type KnownSample, type ReceivingList } from '@/lib/store/read/arrivals/receivingList'
import type { VisibleKit } from '@/lib/store/read/sample/eventForm'
import { ReceivingForm } from './ReceivingForm'
import { readReceivingState } from './receivingState'
import { toTickRow } from './tickRow'

type Laboratory = ReceivingList['laboratories'][number]
type Params = Record<string, string | string[] | undefined>

/** Samples delivered to a laboratory or on their way to it: tick those that have come, and record their receipt. */
export function ReceivingReport({
  list,
  person,
  params,
  kits,
  children,
}: {
  list: ReceivingList
  person: Person
  params: Params
  /** The kits that the address names. */
  kits: readonly VisibleKit[]
  /** What was just recorded. */
  children?: ReactNode
}) {
  const t = useTranslate()
  const isOne = list.laboratories.length === 1
  const first = list.laboratories[0]
  const total = list.laboratories.reduce((sum, { rows, notShown }) => sum + rows.length + notShown, 0)
  return (
    <>
      <p className={styles.when}>
        {isOne && first ? formatLongInstant(t, list.asOf, first.zone, list.asOf) : ''}
      </p>
      <h1 className={styles.heading}>
        {t('receiving.heading', { count: total, spelled: spellFirstNumber(t, total) })}
      </h1>
      {children}
      {total === 0 && <p className="prose">{t('receiving.empty')}</p>}
      {list.laboratories.map((laboratory) => (
        <LaboratorySection
          key={laboratory.code}
          laboratory={laboratory}
          now={list.asOf}
          person={person}
          params={params}
          kits={kits}
          isFirst={laboratory === first}
        />
      ))}
    </>
  )
}

function LaboratorySection({
  laboratory,
  now,
  person,
  params,
  kits,
  isFirst,
}: {
  laboratory: Laboratory
  now: number
  person: Person
  params: Params
  kits: readonly VisibleKit[]
  isFirst: boolean
}) {
  const t = useTranslate()
  const { code, name, zone, rows } = laboratory
  const listed = rows.map((row) => row.code)
  const known = Object.fromEntries(
    laboratory.others.map((row) => [
      row.code,
      { text: describeKnown(t, row, zone, now), isReceived: isReceived(row) },
    ]),
  )
  const state = readReceivingState(params, { code, zone }, listed, { kits, known, person, now })
  return (
    <section
      className={`${styles.section} ${styles.narrow}`}
      id={params.laboratory === code ? 'record' : undefined}
    >
      <h2>{name}</h2>
      {rows.length > 0 && <Counts laboratory={laboratory} />}
      <ReceivingForm
        laboratory={{ code, zone }}
        rows={rows.map((row) =>
          toTickRow(
            t,
            row,
            t('receiving.sampleFrom', {
              plant: row.plantHeading.name,
              count: row.waybills.length,
              waybills: t.list(row.waybills),
            }),
            { zone, now },
            state.ticked.includes(row.code),
          ),
        )}
        state={state}
        known={known}
        isFirst={isFirst}
      />
    </section>
  )
}

/** What a desk has to know of a sample that nobody waits for, if it is scanned. Its box is at the laboratory, so it is not to be sent. */
function describeKnown(t: Translate, row: KnownSample, zone: string, now: number): string {
  const { headline, found } = formatStatus(t, row, zone, now)
  const { judgement } = row
  const isUnfit = judgement?.fitness === 'unfit' && !isReceived(row)
  return [
    t('receiving.known', {
      product: row.productName ?? row.product ?? t('act.product.unnamed'),
      plant: row.plantHeading.name,
      whereabouts: formatWhereabouts(t, row, zone, now),
      headline,
    }),
    found,
    (isUnfit || judgement?.restraint) && t('restraint.doNotLoad'),
  ]
    .filter(Boolean)
    .join(' ')
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
