import type { ReactNode } from 'react'
import { useTranslate } from '#translate'
import { CuttingCaution } from '@/app/ui/CuttingCaution'
import { Instant } from '@/app/ui/Instant'
import { rich } from '@/app/ui/language/rich'
import { type EventKind, eventKey } from '@/lib/custody/event'
import { isCounted } from '@/lib/custody/placing'
import type { Clock } from '@/lib/hold/clock'
import type { JudgedSample } from '@/lib/store/read/judged/judgedRow'
import type { SampleDossier } from '@/lib/store/read/sample/sampleDossier'
import { ClockDetails } from './ClockDetails'
import { ClockFigure } from './ClockFigure'
import { EventRow, FlagList } from './EventRow'
import eventTable from './EventTable.module.css'
import { ForecastEvidence } from './ForecastEvidence'
import { LiveStanding } from './LiveStanding'
import { SampleFacts } from './SampleFacts'
import { SampleNeeds } from './SampleNeeds'
import styles from './SampleReport.module.css'

/** One sample in full: its standing, what it needs, its clocks with their calculations, warnings, and every event. */
export function SampleReport({
  dossier: whole,
  judged,
  names,
  changeable,
  formKind,
  hasCaution,
  children,
}: {
  dossier: SampleDossier
  judged: JudgedSample
  /** Names of the people and keys that reported, by person or key. */
  names: ReadonlyMap<string, string>
  /** Keys of the events that the reader may correct. */
  changeable: ReadonlySet<string>
  /** What the form among the children records. */
  formKind: EventKind | null
  /** The reader is to cut, and the form does not caution already. */
  hasCaution: boolean
  /** What the reader can record, under the heading. */
  children?: ReactNode
}) {
  const t = useTranslate()
  const isUnfit = judged.fitness === 'unfit'
  // Nobody has to know when a sample that proves nothing would stop its clocks.
  const dossier = isUnfit ? { ...whole, forecasts: [] } : whole
  const { sample, asOf, plant, laboratory } = dossier
  const row = { ...dossier.row, judgement: judged, zones: judged.zones }
  const anchors = new Map(sample.events.map(({ event }, index) => [eventKey(event), `event-${index + 1}`]))
  const isBinding = (clock: Clock) => clock.limit.name === row.binding?.limit.name
  const clocks = [...sample.clocks].sort((a, b) => Number(isBinding(b)) - Number(isBinding(a)))
  return (
    <article className={styles.report}>
      <LiveStanding
        row={row}
        clocks={clocks}
        zones={[plant.zone, laboratory.zone]}
        reason={findEndingReason(dossier)}
        asOf={asOf}
      />
      <SampleNeeds
        row={row}
        names={{ plant: plant.name, laboratory: laboratory.name }}
        formKind={formKind}
        asOf={asOf}
      />
      {hasCaution && <CuttingCaution />}
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
      <ForecastEvidence dossier={dossier} />
      {sample.flags.length > 0 && (
        <section>
          <h2>{t('samples.warnings.heading')}</h2>
          <FlagList flags={sample.flags} anchors={anchors} />
        </section>
      )}
      <section>
        <h2>{t('samples.limits.heading')}</h2>
        {clocks.length === 0 && <p>{t('samples.limits.none')}</p>}
        <div className={styles.clocks}>
          {clocks.map((clock) => (
            <ClockDetails key={clock.limit.name} clock={clock} dossier={dossier} isUnfit={isUnfit} />
          ))}
        </div>
      </section>
      <section>
        <h2>{t('samples.event.heading')}</h2>
        {sample.events.length === 0 ? (
          <p>{t('samples.event.none')}</p>
        ) : (
          <EventTable dossier={dossier} anchors={anchors} names={names} changeable={changeable} />
        )}
      </section>
      <p className={styles.asOf}>
        {rich(t, 'samples.asOf', { time: <Instant at={asOf} zone={plant.zone} now={asOf} /> })}
      </p>
    </article>
  )
}

/** Why the sample ended early, as its report says; null where that says nothing. */
function findEndingReason({ sample }: SampleDossier): string | null {
  const reporting = sample.events.find(
    (placed) => isCounted(placed) && placed.event.kind === sample.history.ending?.kind,
  )
  const reason = reporting?.event.facts?.reason
  return typeof reason === 'string' ? reason : null
}

/** Every event of a sample by time, counted or not, with its time at the plant and at the laboratory. */
function EventTable({
  dossier,
  anchors,
  names,
  changeable,
}: {
  dossier: SampleDossier
  anchors: ReadonlyMap<string, string>
  names: ReadonlyMap<string, string>
  changeable: ReadonlySet<string>
}) {
  const t = useTranslate()
  const { plant, laboratory, sample } = dossier
  const isOneZone = plant.zone === laboratory.zone
  return (
    <table className={eventTable.events}>
      <caption className="unseen">{t('samples.event.caption')}</caption>
      <thead>
        <tr>
          <th scope="col">{t('samples.event.column.event')}</th>
          <th scope="col">{t(isOneZone ? 'samples.event.column.time' : 'samples.event.column.plantTime')}</th>
          {!isOneZone && <th scope="col">{t('samples.event.column.laboratoryTime')}</th>}
          <th scope="col">{t('samples.event.column.sent')}</th>
          <th scope="col">{t('samples.event.column.by')}</th>
          <th scope="col">{t('samples.event.column.known')}</th>
        </tr>
      </thead>
      <tbody>
        {sample.events.map((placed) => (
          <EventRow
            key={eventKey(placed.event)}
            placed={placed}
            dossier={dossier}
            anchors={anchors}
            names={names}
            isChangeable={changeable.has(eventKey(placed.event))}
          />
        ))}
      </tbody>
    </table>
  )
}
