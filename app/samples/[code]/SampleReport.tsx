import type { ReactNode } from 'react'
import { useTranslate } from '#translate'
import { CuttingCaution } from '@/app/ui/CuttingCaution'
import { Day, Instant } from '@/app/ui/Instant'
import { Link } from '@/app/ui/Link'
import { SampleLink } from '@/app/ui/SampleLink'
import { formatDay } from '@/app/ui/words/instant'
import { eventKey } from '@/lib/custody/event'
import { isCounted } from '@/lib/custody/placing'
import type { Clock } from '@/lib/hold/clock'
import { getDayStart, parseIsoDate } from '@/lib/hold/zone'
import type { Translate } from '@/lib/messages/translate'
import { formatZone } from '@/lib/schedule/zoneName'
import type { SampleDossier } from '@/lib/store/read/sample/sampleDossier'
import { ClockDetails } from './ClockDetails'
import { ClockFigure } from './ClockFigure'
import { EventRow, FlagList } from './EventRow'
import eventTable from './EventTable.module.css'
import { ForecastEvidence } from './ForecastEvidence'
import { LiveStanding } from './LiveStanding'
import styles from './SampleReport.module.css'

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
      {isAwaitingCut(row) && !isCautionAtForm && <CuttingCaution />}
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
            <ClockDetails key={clock.limit.name} clock={clock} dossier={dossier} />
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
function findEndingReason({ sample }: SampleDossier): string | null {
  const reporting = sample.events.find(
    (placed) => isCounted(placed) && placed.event.kind === sample.history.ending?.kind,
  )
  const reason = reporting?.event.facts?.reason
  return typeof reason === 'string' ? reason : null
}

/** Whether someone is about to cut: for the first time, or again. */
function isAwaitingCut({ isSettled, standing, stage }: SampleDossier['row']): boolean {
  return !isSettled && (standing === 'lapsed' || stage === null || stage === 'produced')
}

/** Every event of a sample by time, counted or not: what, when (at the plant and at the laboratory), who, and since when known. */
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
  const { plant, laboratory, sample } = dossier
  const isOneZone = plant.zone === laboratory.zone
  return (
    <table className={eventTable.events}>
      <caption className="unseen">Events reported of this sample, by the time they give</caption>
      <thead>
        <tr>
          <th scope="col">What</th>
          <th scope="col">When, {formatZone(plant.zone)}</th>
          {!isOneZone && <th scope="col">When, {formatZone(laboratory.zone)}</th>}
          <th scope="col">As sent</th>
          <th scope="col">Reported by</th>
          <th scope="col">Known since</th>
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

const PURPOSES: Record<string, string> = {
  first: 'A first sample',
  duplicate: 'A duplicate',
  retained: 'A retained sample',
  're-collection': 'A re-collection',
}

/** What the sample is, whose, where it goes, how it travels, and what it replaces. */
function SampleFacts({ dossier }: { dossier: SampleDossier }) {
  const t = useTranslate()
  const { asOf, sample, plant, laboratory, productName, protocolName, replaces, replacedBy } = dossier
  const { kit, product, protocol, lot } = sample
  return (
    <div className={styles.facts}>
      <p>
        {PURPOSES[kit.purpose] ?? `A sample (${kit.purpose})`} of{' '}
        {product === null ? 'a product not yet known' : `${productName ?? 'an unknown product'} (${product})`}
        {lot && `, lot ${lot}`}, cut at{' '}
        <Link href={`/plants/${encodeURIComponent(plant.code)}`}>{plant.name}</Link> for {laboratory.name}.
        Its kit was issued <Day at={kit.issuedAt} zone={plant.zone} now={asOf} />
        {formatPosting(t, kit.posted, plant.zone, asOf)}.{' '}
        {protocol === null ? 'No protocol is known for it yet.' : `Protocol: ${protocolName ?? protocol}.`}
        <ConsignmentSentence dossier={dossier} />
      </p>
      {replaces && (
        <p>
          It replaces <SampleLink code={replaces} />.
        </p>
      )}
      {replacedBy && (
        <p>
          It is replaced by <SampleLink code={replacedBy} />.
        </p>
      )}
    </div>
  )
}

/** Whether and when its kit was posted, where that was not with its issue. */
function formatPosting(t: Translate, posted: string | null, zone: string, now: number): string {
  if (posted === null) return ''
  if (posted === 'not yet') return ' and has not been posted yet'
  const at = getDayStart(parseIsoDate(posted) as number, zone)
  return at > now
    ? ` and is to be posted ${formatDay(t, at, zone, now)}`
    : `, posted ${formatDay(t, at, zone, now)}`
}

function ConsignmentSentence({ dossier: { sample, row } }: { dossier: SampleDossier }) {
  const travelled = (sample.history.milestones.get('dispatched')?.events ?? []).flatMap(
    ({ service, waybill }) =>
      service !== null && waybill !== null ? [`${service}, waybill ${waybill}`] : [],
  )
  const known = [...new Set(travelled)]
  if (known.length > 0)
    return (
      <>
        {' '}
        It {row.isSettled ? 'travelled' : 'travels'} by {known.join('; by ')}.
      </>
    )
  return sample.kit.service && !row.isSettled ? <> It is to travel by {sample.kit.service}.</> : null
}
