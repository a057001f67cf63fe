import { useTranslate } from '#translate'
import { Instant } from '@/app/ui/Instant'
import { Link } from '@/app/ui/Link'
import { eventKey, isEventKind, type ReadEvent } from '@/lib/custody/event'
import { KINDS } from '@/lib/custody/eventKinds'
import type { Flag } from '@/lib/custody/flags'
import type { PlacedEvent } from '@/lib/custody/placing'
import type { Translate } from '@/lib/messages/translate'
import { getHandPersonId } from '@/lib/policy/mayRecord'
import type { SampleDossier } from '@/lib/store/read/sample/sampleDossier'
import styles from './EventTable.module.css'

/** One event. What was taken out of the count is struck through, with what took it out. */
export function EventRow({
  placed,
  dossier,
  anchors,
  names,
  isChangeable,
}: {
  placed: PlacedEvent
  dossier: SampleDossier
  anchors: ReadonlyMap<string, string>
  names: ReadonlyMap<string, string>
  /** The reader may put it right or take it out. */
  isChangeable: boolean
}) {
  const t = useTranslate()
  const { asOf, plant, laboratory, receipts, sample } = dossier
  const { event, correctedBy } = placed
  const key = eventKey(event)
  const isOut = correctedBy.length > 0
  const Said = isOut ? 's' : 'span'
  const receivedAt = receipts[key]?.receivedAt
  const zones = [...new Set([plant.zone, laboratory.zone])]
  const flagged = sample.flags.filter(({ events }) => events.includes(key)).map(({ kind }) => kind)
  return (
    <tr id={anchors.get(key)} data-out={isOut}>
      <th scope="row">
        <Said>{t(KINDS[event.kind].label)}</Said>
        {isOut && (
          <p className={styles.alert}>
            out of the count, by{' '}
            {correctedBy.map((name) => (
              <EventLink key={name} name={name} anchors={anchors} />
            ))}
          </p>
        )}
        {event.corrects && (
          <p className={styles.note}>
            {formatCorrection(placed)} <EventLink name={event.corrects} anchors={anchors} />
          </p>
        )}
        {[
          ...new Set(flagged.filter((kind) => kind !== 'ahead of now' && kind !== 'loop of corrections')),
        ].map((kind) => (
          <p key={kind} className={styles.alert}>
            {kind}
          </p>
        ))}
        {[...formatBearing(placed), ...formatContent(t, event)].map((note) => (
          <p key={note} className={styles.note}>
            {note}
          </p>
        ))}
      </th>
      {zones.map((zone) => (
        <td key={zone} data-zone={zone}>
          <Said>
            <Instant at={event.earliestAt} zone={zone} now={asOf} />
            {event.latestAt !== event.earliestAt && (
              <>
                {' '}
                to <Instant at={event.latestAt} zone={zone} now={asOf} />
              </>
            )}
          </Said>
        </td>
      ))}
      <td data-label="sent as">
        <code>{event.at}</code>
        {event.zone && <p className={styles.note}>{event.zone}</p>}
      </td>
      <td data-label="by">
        <Reporter event={event} reportedBy={receipts[key]?.reportedBy ?? null} names={names} />
        {isChangeable && (
          <p className={styles.change}>
            <Link href={`/samples/${sample.kit.code}?change=${encodeURIComponent(key)}#record`}>
              change<span className="unseen"> “{t(KINDS[event.kind].label)}” or take it out</span>
            </Link>
          </p>
        )}
      </td>
      <td className={styles.known}>
        {event.reportedAt !== null && (
          <p>
            written <Instant at={event.reportedAt} zone={plant.zone} now={asOf} />
          </p>
        )}
        {receivedAt !== undefined && (
          <p>
            reached Holdfast <Instant at={receivedAt} zone={plant.zone} now={asOf} />
          </p>
        )}
      </td>
    </tr>
  )
}

/** Who reported it: by hand, the person's name; else the source with the event's id there, and the name of the key. */
function Reporter({
  event,
  reportedBy,
  names,
}: {
  event: ReadEvent
  reportedBy: string | null
  names: ReadonlyMap<string, string>
}) {
  const name = reportedBy === null ? undefined : names.get(reportedBy)
  const hand = getHandPersonId(event.source)
  if (hand !== null)
    return (
      <>
        {name ?? hand}
        <p className={styles.note}>by hand</p>
      </>
    )
  return (
    <>
      {event.source}
      <p className={styles.note}>{event.id}</p>
      {name && <p className={styles.note}>with the key of {name}</p>}
    </>
  )
}

/** What an event does to the one it names; in a loop it would, but does not. */
function formatCorrection({ event, isLooping }: PlacedEvent): string {
  if (event.kind === 'withdrawn') return isLooping ? 'would take out' : 'takes out'
  return isLooping ? 'would take the place of' : 'takes the place of'
}

function formatContent(t: Translate, event: ReadEvent): string[] {
  return [
    event.place === null ? '' : `at ${event.place}`,
    event.service !== null && event.waybill !== null ? `${event.service}, waybill ${event.waybill}` : '',
    event.product === null ? '' : `product ${event.product}`,
    event.lot === null ? '' : `lot ${event.lot}`,
    ...formatFacts(t, event.facts),
  ].filter((words) => words !== '')
}

/** Facts as sent, a short text each: "seal intact: yes". */
export function formatFacts(t: Translate, facts: Record<string, unknown> | null): string[] {
  return Object.entries(facts ?? {}).map(([name, value]) => `${name}: ${formatFactValue(t, value)}`)
}

function formatFactValue(t: Translate, value: unknown): string {
  if (typeof value === 'boolean') return value ? 'yes' : 'no'
  return typeof value === 'string' || typeof value === 'number' ? String(value) : JSON.stringify(value)
}

/** How an event bears on the sample beyond what it says: not yet, by its consignment, in a loop. */
function formatBearing(placed: PlacedEvent): string[] {
  return [
    placed.isAhead ? 'ahead of now: counts when its time comes' : '',
    placed.isByConsignment ? 'speaks of the consignment it travels in' : '',
    placed.isLooping ? 'in a loop of corrections, which corrects nothing' : '',
  ].filter((note) => note !== '')
}

/** What a person should look at, a sentence each, with links to the events it is about. */
export function FlagList({
  flags,
  anchors,
}: {
  flags: readonly Flag[]
  anchors: ReadonlyMap<string, string>
}) {
  const t = useTranslate()
  return (
    <ul>
      {[...new Set(flags.map(({ detail }) => t.message(detail)))].map((words) => (
        <li key={words}>
          {words}{' '}
          {flags
            .filter(({ detail }) => t.message(detail) === words)
            .flatMap(({ events }) => events)
            .map((key) => (
              <EventLink key={key} name={key} anchors={anchors} />
            ))}
        </li>
      ))}
    </ul>
  )
}

/** The key of an event, as a link where the event is on this page. */
function EventLink({ name, anchors }: { name: string; anchors: ReadonlyMap<string, string> }) {
  const anchor = anchors.get(name)
  // The id of what was recorded by hand says nothing to anyone.
  const words = getHandPersonId(name) === null ? name : 'a report by hand'
  return <>{anchor ? <a href={`#${anchor}`}>{words}</a> : words} </>
}
