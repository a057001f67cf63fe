'use client'

import { useQuery } from '@tanstack/react-query'
import type { ReactNode } from 'react'
import { BandsTop, StripLegend } from '@/app/(board)/BandsTop'
import { bandWords } from '@/app/(board)/bandWords'
import { SampleList } from '@/app/(board)/PlantBand'
import { useSampleKeys } from '@/app/(board)/useSampleKeys'
import { useSteadyBands } from '@/app/(board)/useSteadyBands'
import { Link } from '@/app/ui/Link'
import { askServer, LostServer, useLostSince } from '@/app/ui/LostServer'
import { useServerNow } from '@/app/ui/useServerNow'
import { headingInstant } from '@/app/ui/words/instantWords'
import { countOf, listed, numberWords } from '@/app/ui/words/numberWords'
import { standingAt } from '@/app/ui/words/standingWords'
import type { Standing } from '@/lib/hold/standing'
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
  const { code, name, zone, maker } = initial.plant
  const { data: page, isError } = useQuery({
    queryKey: ['plant', code],
    queryFn: ({ signal }) => askServer<PlantPage>(`/api/plants/${encodeURIComponent(code)}`, signal),
    initialData: initial,
    initialDataUpdatedAt: initial.asOf,
  })
  const now = useServerNow(page.asOf)
  const lostSinceAt = useLostSince(isError, now)
  useSampleKeys()
  const standings = page.open.map((row) => standingAt(row, now))
  const laboratories = listed(page.laboratories.map((one) => one.name))
  return (
    <>
      <div className={styles.head}>
        <p className={styles.when}>
          <time dateTime={new Date(now).toISOString()}>{headingInstant(now, zone, now)}</time>
        </p>
        <h1>{name}</h1>
        <p>{plantSentence(standings)}</p>
        <p className={styles.who}>
          {maker && maker !== name && `Of ${maker}. `}
          {laboratories && `Its samples go to ${laboratories}.`}
        </p>
      </div>
      {children}
      {page.open.length > 0 && (
        <section aria-label="Samples under way">
          <StripLegend />
          <PlantLines page={page} now={now} />
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
            <SettledTable rows={page.settled} caption={settledCaption(page)} zone={zone} now={now} />
          </>
        ) : (
          <p>No sample of this plant is settled yet.</p>
        )}
      </section>
      <LostServer lostSinceAt={lostSinceAt} asOf={page.asOf} zone={zone} />
    </>
  )
}

/** Which of a plant's settled samples stand in the table. */
function settledCaption({ settled, settledTotal }: PlantPage): string {
  const shown =
    settled.length < settledTotal
      ? `the last ${settled.length} of ${settledTotal.toLocaleString('en-GB')}`
      : `all ${settledTotal}`
  return `Settled samples, ${settledTotal === 1 ? 'the only one' : shown}, with how long each stage took`
}

/** What a plant has to know first: how many of its samples need someone today, and how the rest stand. */
function plantSentence(standings: readonly Standing[]): string {
  const needing = standings.filter((one) => one === 'lapsed' || one === 'at risk').length
  if (standings.length === 0) return 'No sample of this plant is under way.'
  const need =
    needing === 0
      ? 'No sample needs anyone today'
      : `${countOf(needing, 'sample needs', 'samples need')} someone today`
  const open = `${numberWords(standings.length)} ${standings.length === 1 ? 'is' : 'are'} under way`
  return `${capitalised(need)}; ${open}: ${bandWords(standings)}.`
}

/** A plant's open samples under one axis. What changes while someone points into them waits to be shown. */
function PlantLines({ page, now }: { page: PlantPage; now: number }) {
  const { bands, waiting, onShow, handlers } = useSteadyBands(page, bandsOf, page.plant.code)
  return (
    <div {...handlers}>
      <BandsTop waiting={waiting} onShow={onShow} />
      {bands.map(({ plant, rows }) => (
        <SampleList key={plant.code} rows={rows} zone={plant.zone} now={now} />
      ))}
    </div>
  )
}

const bandsOf = ({ plant, open }: PlantPage) => [{ plant, rows: open }]
