import type { ReactNode } from 'react'
import { useTranslate } from '#translate'
import { Instant } from '@/app/ui/Instant'
import { Link } from '@/app/ui/Link'
import { rich } from '@/app/ui/language/rich'
import { formatFacts, formatFault, type NamedInFacts } from '@/app/ui/words/fact'
import { FAULT_LABELS } from '@/lib/custody/condition'
import { eventKey, type ReadEvent } from '@/lib/custody/event'
import { KINDS } from '@/lib/custody/eventKinds'
import { splitFaultKey } from '@/lib/custody/findingKey'
import type { Flag } from '@/lib/custody/flags'
import type { PlacedEvent } from '@/lib/custody/placing'
import type { MessageKey } from '@/lib/messages/message'
import type { Translate } from '@/lib/messages/translate'
import { getHandPersonId } from '@/lib/policy/handSource'
import type { SampleDossier } from '@/lib/store/read/sample/sampleDossier'
import styles from './EventTable.module.css'

/** The label of a flag beside its event; null where a note of the event says it. */
const FLAG_LABELS: Record<Flag['kind'], Extract<MessageKey, `samples.event.flag.${string}`> | null> = {
  'ahead of now': null,
  'loop of corrections': null,
  'out of order': 'samples.event.flag.outOfOrder',
  'before its kit': 'samples.event.flag.beforeKit',
  'another place': 'samples.event.flag.otherPlace',
  'reports disagree': 'samples.event.flag.disagree',
  'product differs': 'samples.event.flag.productDiffers',
  'product unknown': 'samples.event.flag.productUnknown',
  'not reported': 'samples.event.flag.notReported',
  'unknown limit': 'samples.event.flag.unknownLimit',
  'extension without effect': 'samples.event.flag.extension',
  'ruling settles nothing': 'samples.event.flag.ruling',
}

const unseen = (text: ReactNode) => <span className="unseen">{text}</span>

/** One event. A withdrawn event is struck through, with the event that withdrew it. */
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
  /** The reader may correct it or take it out. */
  isChangeable: boolean
}) {
  const t = useTranslate()
  const { asOf, plant, laboratory, receipts, sample } = dossier
  const { event, correctedBy } = placed
  const key = eventKey(event)
  const isOut = correctedBy.length > 0
  const Struck = isOut ? 's' : 'span'
  const acceptedAt = receipts[key]?.acceptedAt
  const zones = [...new Set([plant.zone, laboratory.zone])]
  const kind = t(KINDS[event.kind].label)
  const named = { events: sample.events.map((one) => one.event), findings: sample.findings }
  return (
    <tr id={anchors.get(key)} data-out={isOut}>
      <th scope="row">
        <Struck>{kind}</Struck>
        {isOut && (
          <p className={styles.alert}>
            {rich(t, 'samples.event.takenOut', {
              events: correctedBy.map((name) => <EventLink key={name} name={name} anchors={anchors} />),
            })}
          </p>
        )}
        {event.corrects && (
          <p className={styles.note}>
            <Correction placed={placed} corrects={event.corrects} anchors={anchors} events={named.events} />
          </p>
        )}
        {listFlagLabels(t, sample.flags, key).map((label) => (
          <p key={label} className={styles.alert}>
            {label}
          </p>
        ))}
        {[...listNotes(t, placed), ...listContent(t, event, named)].map((note) => (
          <p key={note} className={styles.note}>
            {note}
          </p>
        ))}
      </th>
      {zones.map((zone) => (
        <td key={zone} data-zone={zone}>
          <Struck>
            <Reading event={event} zone={zone} now={asOf} />
          </Struck>
        </td>
      ))}
      <td data-label={t('samples.event.beside.sent')}>
        <code>{event.at}</code>
        {event.zone && <p className={styles.note}>{event.zone}</p>}
      </td>
      <td data-label={t('samples.event.beside.by')}>
        <Reporter event={event} reportedBy={receipts[key]?.reportedBy ?? null} names={names} />
        {isChangeable && (
          <p className={styles.change}>
            <Link href={`/samples/${sample.kit.code}?change=${encodeURIComponent(key)}#record`}>
              {rich(t, 'samples.event.change', { unseen, kind })}
            </Link>
          </p>
        )}
      </td>
      <td className={styles.known}>
        {event.reportedAt !== null && (
          <p>
            {rich(t, 'samples.event.writtenAt', {
              time: <Instant at={event.reportedAt} zone={plant.zone} now={asOf} />,
            })}
          </p>
        )}
        {acceptedAt !== undefined && (
          <p>
            {rich(t, 'samples.event.acceptedAt', {
              time: <Instant at={acceptedAt} zone={plant.zone} now={asOf} />,
            })}
          </p>
        )}
      </td>
    </tr>
  )
}

/** The time of an event; from its earliest to its latest reading where these differ. */
function Reading({
  event: { earliestAt, latestAt },
  zone,
  now,
}: {
  event: ReadEvent
  zone: string
  now: number
}) {
  const t = useTranslate()
  const earliest = <Instant at={earliestAt} zone={zone} now={now} />
  if (latestAt === earliestAt) return earliest
  return rich(t, 'samples.event.range', {
    from: earliest,
    to: <Instant at={latestAt} zone={zone} now={now} />,
  })
}

/** The reporter of an event: a person's name for one by hand; else the source, the event's id there and the key's name. */
function Reporter({
  event,
  reportedBy,
  names,
}: {
  event: ReadEvent
  reportedBy: string | null
  names: ReadonlyMap<string, string>
}) {
  const t = useTranslate()
  const name = reportedBy === null ? undefined : names.get(reportedBy)
  const personId = getHandPersonId(event.source)
  if (personId !== null)
    return (
      <>
        {name ?? personId}
        <p className={styles.note}>{t('samples.event.byHand')}</p>
      </>
    )
  return (
    <>
      {event.source}
      <p className={styles.note}>{event.id}</p>
      {name && <p className={styles.note}>{t('samples.event.byKey', { name })}</p>}
    </>
  )
}

/** What an event does to the one it names, or to a fault of a receipt. */
function Correction({
  placed,
  corrects,
  anchors,
  events,
}: {
  placed: PlacedEvent
  corrects: string
  anchors: ReadonlyMap<string, string>
  events: readonly ReadEvent[]
}) {
  const t = useTranslate()
  const taken = placed.event.kind === 'withdrawn' ? splitFaultKey(corrects) : null
  // An event's own id can end as such a key does.
  if (taken === null || anchors.has(corrects))
    return rich(t, getCorrectionMessage(placed), { event: <EventLink name={corrects} anchors={anchors} /> })
  return rich(t, 'samples.event.takesBack', {
    fault: formatFault(t, corrects, events) ?? t(FAULT_LABELS[taken.fault]),
    event: <EventLink name={taken.receipt} anchors={anchors} />,
  })
}

/** What an event does to the one it names; an event in a loop would, but does not. */
function getCorrectionMessage({ event, isLooping }: PlacedEvent) {
  if (event.kind === 'withdrawn') return isLooping ? 'samples.event.wouldWithdraw' : 'samples.event.withdraws'
  return isLooping ? 'samples.event.wouldReplace' : 'samples.event.replaces'
}

function listFlagLabels(t: Translate, flags: readonly Flag[], key: string): string[] {
  const labels = flags.filter(({ events }) => events.includes(key)).map(({ kind }) => FLAG_LABELS[kind])
  return [...new Set(labels)].flatMap((label) => (label === null ? [] : [t(label)]))
}

function listContent(t: Translate, event: ReadEvent, named: NamedInFacts): string[] {
  const { place, service, waybill, product, lot } = event
  return [
    ...(place === null ? [] : [t('samples.event.place', { place })]),
    ...(service === null || waybill === null ? [] : [t('samples.event.consignment', { service, waybill })]),
    ...(product === null ? [] : [t('samples.event.product', { product })]),
    ...(lot === null ? [] : [t('samples.event.lot', { lot })]),
    ...formatFacts(t, event, named),
  ]
}

function listNotes(t: Translate, { isAhead, isByConsignment, isLooping }: PlacedEvent): string[] {
  return [
    ...(isAhead ? [t('samples.event.ahead')] : []),
    ...(isByConsignment ? [t('samples.event.byConsignment')] : []),
    ...(isLooping ? [t('samples.event.looping')] : []),
  ]
}

/** Warnings, a sentence each, with links to the events that cause them. */
export function FlagList({
  flags,
  anchors,
}: {
  flags: readonly Flag[]
  anchors: ReadonlyMap<string, string>
}) {
  const t = useTranslate()
  const warnings = flags.map(({ detail, events }) => ({ sentence: t.message(detail), events }))
  return (
    <ul>
      {[...new Set(warnings.map(({ sentence }) => sentence))].map((sentence) => (
        <li key={sentence}>
          {sentence}{' '}
          {warnings
            .filter((warning) => warning.sentence === sentence)
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
  const t = useTranslate()
  const anchor = anchors.get(name)
  // The id of a report by hand tells a person nothing.
  const text = getHandPersonId(name) === null ? name : t('samples.event.handReport')
  return <>{anchor ? <a href={`#${anchor}`}>{text}</a> : text} </>
}
