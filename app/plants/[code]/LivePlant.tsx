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
import { useServerNow } from '@/app/ui/useServerNow'
import { formatLongInstant } from '@/app/ui/words/instant'
import { formatList, spellCount, spellNumber } from '@/app/ui/words/number'
import { getStanding } from '@/app/ui/words/standing'
import type { Standing } from '@/lib/hold/standing'
import type { Translate } from '@/lib/messages/translate'
import { capitalised } from '@/lib/schedule/firstLetter'
import type { PlantPage } from '@/lib/store/read/plant/plantPage'
import styles from './LivePlant.module.css'
import { SettledTable } from './SettledTable'

/**
 * One plant as it was first painted, then kept up to date. Every time on it is the plant's own. `children` stand above the
 * samples, `turnaround` below.
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
  const { data: page, isError } = useQuery({
    queryKey: ['plant', code],
    queryFn: ({ signal }) => fetchJson<PlantPage>(`/api/plants/${encodeURIComponent(code)}`, signal),
    initialData: initial,
    initialDataUpdatedAt: initial.asOf,
  })
  const now = useServerNow(page.asOf)
  const unreachableSinceAt = useUnreachableSince(isError, now)
  useKeyboardNavigation()
  const standings = page.open.map((row) => getStanding(row, now))
  const laboratories = formatList(
    t,
    page.laboratories.map((one) => one.name),
  )
  return (
    <>
      <div className={styles.head}>
        <p className={styles.when}>
          <time dateTime={new Date(now).toISOString()}>{formatLongInstant(t, now, zone, now)}</time>
        </p>
        <h1>{name}</h1>
        <p>{formatPlantSummary(t, standings)}</p>
        <p className={styles.who}>
          {maker && maker !== name && `Of ${maker}. `}
          {laboratories && `Its samples go to ${laboratories}.`}
        </p>
      </div>
      {children}
      {page.open.length > 0 && (
        <section aria-label="Samples under way">
          <StripLegend />
          <PlantSamples page={page} now={now} />
        </section>
      )}
      <section className={styles.section}>
        <h2>How long each part takes</h2>
        {turnaround}
      </section>
      <section className={styles.section}>
        <h2>Settled</h2>
        {page.settledTotal > 0 ? (
          <>
            <p>
              <Link href={`/plants/${encodeURIComponent(code)}/history`}>
                All settled samples, page by page and as CSV
              </Link>
            </p>
            <SettledTable rows={page.settled} caption={formatSettledCaption(page)} zone={zone} now={now} />
          </>
        ) : (
          <p>No sample of this plant is settled yet.</p>
        )}
      </section>
      <ConnectionNotice unreachableSinceAt={unreachableSinceAt} asOf={page.asOf} zone={zone} />
    </>
  )
}

/** Which of a plant's settled samples stand in the table. */
function formatSettledCaption({ settled, settledTotal }: PlantPage): string {
  const shown =
    settled.length < settledTotal
      ? `the last ${settled.length} of ${settledTotal.toLocaleString('en-GB')}`
      : `all ${settledTotal}`
  return `Settled samples, ${settledTotal === 1 ? 'the only one' : shown}, with how long each stage took`
}

/** What a plant has to know first: how many of its samples need someone today, and how the rest stand. */
function formatPlantSummary(t: Translate, standings: readonly Standing[]): string {
  const needing = standings.filter((one) => one === 'lapsed' || one === 'at risk').length
  if (standings.length === 0) return 'No sample of this plant is under way.'
  const need =
    needing === 0
      ? 'No sample needs anyone today'
      : `${spellCount(t, needing, 'sample needs', 'samples need')} someone today`
  const open = `${spellNumber(t, standings.length)} ${standings.length === 1 ? 'is' : 'are'} under way`
  return `${capitalised(need)}; ${open}: ${formatBandSummary(t, standings)}.`
}

/** A plant's open samples under one axis. What changes while someone points into them waits to be shown. */
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
