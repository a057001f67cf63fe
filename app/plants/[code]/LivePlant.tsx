'use client'

import { useQuery } from '@tanstack/react-query'
import type { ReactNode } from 'react'
import { useTranslate } from '#translate'
import { BoardAxis, StripLegend } from '@/app/(board)/BoardAxis'
import { formatBandSummary } from '@/app/(board)/bandSummary'
import { SampleList } from '@/app/(board)/PlantBand'
import { useKeyboardNavigation } from '@/app/(board)/useKeyboardNavigation'
import { useStableBands } from '@/app/(board)/useStableBands'
import { ConnectionNotice, fetchJson, useUnreachableSince } from '@/app/ui/ConnectionNotice'
import { Link } from '@/app/ui/Link'
import { useRereadOnceOver } from '@/app/ui/useRereadOnceOver'
import { useServerNow } from '@/app/ui/useServerNow'
import { formatLongInstant } from '@/app/ui/words/instant'
import { spellFirstNumber, spellNumber } from '@/app/ui/words/number'
import { getJudgement, getRowGroup } from '@/app/ui/words/standing'
import { isUrgent } from '@/lib/judgement/sampleGroup'
import type { Translate } from '@/lib/messages/translate'
import type { PlantPage } from '@/lib/store/read/plant/plantPage'
import styles from './LivePlant.module.css'
import { SettledTable } from './SettledTable'

/**
 * One plant, kept up to date in the browser. Every time is the plant's own. `children` are rendered above the samples,
 * `turnaround` below.
 */
export function LivePlant({
  initial,
  turnaround,
  children,
}: {
  initial: PlantPage
  turnaround: ReactNode
  children?: ReactNode
}) {
  const t = useTranslate()
  const { code, name, zone, maker } = initial.plant
  const {
    data: page,
    isError,
    refetch,
  } = useQuery({
    queryKey: ['plant', code],
    queryFn: ({ signal }) => fetchJson<PlantPage>(`/api/plants/${encodeURIComponent(code)}`, signal),
    initialData: initial,
    initialDataUpdatedAt: initial.asOf,
  })
  const now = useServerNow(page.asOf)
  const unreachableSinceAt = useUnreachableSince(isError, now)
  useKeyboardNavigation()
  useRereadOnceOver(page.open, now, refetch)
  const laboratories = t.list(page.laboratories.map((one) => one.name))
  return (
    <>
      <div className={styles.head}>
        <p className={styles.when}>
          <time dateTime={new Date(now).toISOString()}>{formatLongInstant(t, now, zone, now)}</time>
        </p>
        <h1>{name}</h1>
        <p>{formatPlantSummary(t, page.open, now)}</p>
        <p className={styles.who}>
          {maker && maker !== name && t('plants.maker', { maker })}{' '}
          {laboratories && t('plants.laboratories', { laboratories })}
        </p>
      </div>
      {children}
      {page.open.length > 0 && (
        <section aria-label={t('plants.open.label')}>
          <StripLegend />
          <PlantSamples page={page} now={now} />
        </section>
      )}
      <section className={styles.section}>
        <h2>{t('plants.stages.heading')}</h2>
        {turnaround}
      </section>
      <section className={styles.section}>
        <h2>{t('plants.settled.heading')}</h2>
        {page.settledTotal > 0 ? (
          <>
            <p>
              <Link href={`/plants/${encodeURIComponent(code)}/history`}>{t('plants.settled.all')}</Link>
            </p>
            <SettledTable rows={page.settled} caption={formatSettledCaption(t, page)} zone={zone} now={now} />
          </>
        ) : (
          <p>{t('plants.settled.none')}</p>
        )}
      </section>
      <ConnectionNotice unreachableSinceAt={unreachableSinceAt} asOf={page.asOf} zone={zone} />
    </>
  )
}

function formatSettledCaption(t: Translate, { settled, settledTotal: total }: PlantPage): string {
  return settled.length < total
    ? t('plants.settled.captionLast', { count: settled.length, total })
    : t('plants.settled.caption', { total })
}

/** How many of a plant's samples need someone today, and the groups of all that are under way. */
function formatPlantSummary(t: Translate, rows: PlantPage['open'], now: number): string {
  const open = rows.length
  if (open === 0) return t('plants.summary.empty')
  const needing = rows.filter((row) => isUrgent(getJudgement(row, now))).length
  return t('plants.summary', {
    needing,
    spelledNeeding: spellFirstNumber(t, needing),
    open,
    spelledOpen: spellNumber(t, open),
    standings: formatBandSummary(
      t,
      rows.map((row) => getRowGroup(row, now)),
    ),
  })
}

/** A plant's open samples under one axis. Changes wait while someone points at them. */
function PlantSamples({ page, now }: { page: PlantPage; now: number }) {
  const { bands, waiting, onShow, handlers } = useStableBands(page, toBands, page.plant.code)
  return (
    <div {...handlers}>
      <BoardAxis waiting={waiting} onShow={onShow} />
      {bands.map(({ plant, rows }) => (
        <SampleList key={plant.code} rows={rows} zone={plant.zone} now={now} />
      ))}
    </div>
  )
}

const toBands = ({ plant, open }: PlantPage) => [{ plant, rows: open }]
