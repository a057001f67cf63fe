import type { ReactNode } from 'react'
import { CuttingCaution } from '@/app/ui/CuttingCaution'
import { Instant } from '@/app/ui/Instant'
import { keyOf } from '@/lib/custody/event'
import { isCounted } from '@/lib/custody/placing'
import type { Clock } from '@/lib/hold/clock'
import type { SampleDossier } from '@/lib/store/read/sample/sampleDossier'
import { ClockFigure } from './ClockFigure'
import { ClockSum } from './ClockSum'
import { EventTable } from './EventTable'
import { FlagList } from './FlagList'
import { LiveStanding } from './LiveStanding'
import { SampleFacts } from './SampleFacts'
import styles from './SampleReport.module.css'
import { WhyThisChance } from './WhyThisChance'

/** All there is on one sample: how it stands, its clocks with their sums, what to look at, and every event. */
export function SampleReport({
  dossier,
  names,
  changeable,
  isCautionAtForm,
  children,
}: {
  dossier: SampleDossier
  /** Names of those who reported. */
  names: ReadonlyMap<string, string>
  /** Keys of the events that the reader may change. */
  changeable: ReadonlySet<string>
  /** The caution before a cut stands where the cut is recorded. */
  isCautionAtForm: boolean
  /** What the reader can record, under the heading. */
  children?: ReactNode
}) {
  const { sample, row, asOf, plant, laboratory } = dossier
  const anchors = new Map(sample.events.map(({ event }, index) => [keyOf(event), `event-${index + 1}`]))
  const isBinding = (clock: Clock) => clock.limit.name === row.binding?.limit.name
  const clocks = [...sample.clocks].sort((a, b) => Number(isBinding(b)) - Number(isBinding(a)))
  return (
    <article className={styles.report}>
      <LiveStanding
        row={row}
        clocks={clocks}
        zones={[plant.zone, laboratory.zone]}
        reason={endingReason(dossier)}
        asOf={asOf}
      />
      {isToBeCut(row) && !isCautionAtForm && <CuttingCaution />}
      {children}
      <SampleFacts dossier={dossier} />
      {clocks.length > 0 && (
        <ClockFigure
          row={row}
          clocks={clocks}
          forecasts={dossier.forecasts}
          zones={{ plant: plant.zone, laboratory: laboratory.zone }}
          asOf={asOf}
        />
      )}
      <WhyThisChance dossier={dossier} />
      {sample.flags.length > 0 && (
        <section>
          <h2>What to look at</h2>
          <FlagList flags={sample.flags} anchors={anchors} />
        </section>
      )}
      <section>
        <h2>How each limit is counted</h2>
        {clocks.length === 0 && (
          <p>No hold limit is known for it: its product is not known, or the register has no such product.</p>
        )}
        <div className={styles.clocks}>
          {clocks.map((clock) => (
            <ClockSum key={clock.limit.name} clock={clock} dossier={dossier} />
          ))}
        </div>
      </section>
      <section>
        <h2>What was reported</h2>
        {sample.events.length === 0 ? (
          <p>Nothing yet.</p>
        ) : (
          <EventTable dossier={dossier} anchors={anchors} names={names} changeable={changeable} />
        )}
      </section>
      <p className={styles.asOf}>
        As of <Instant at={asOf} zone={plant.zone} now={asOf} />. Days in words are the plant’s.
      </p>
    </article>
  )
}

/** Why the sample ended early, as the report of it says; null where it does not. */
function endingReason({ sample }: SampleDossier): string | null {
  const reporting = sample.events.find(
    (placed) => isCounted(placed) && placed.event.kind === sample.history.ending?.kind,
  )
  const reason = reporting?.event.facts?.reason
  return typeof reason === 'string' ? reason : null
}

/** Whether someone is about to cut: for the first time, or again. */
function isToBeCut({ isSettled, standing, stage }: SampleDossier['row']): boolean {
  return !isSettled && (standing === 'lapsed' || stage === null || stage === 'produced')
}
