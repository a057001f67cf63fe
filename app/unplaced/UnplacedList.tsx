import { factWords } from '@/app/samples/[code]/eventNotes'
import { Instant } from '@/app/ui/Instant'
import { SampleLink } from '@/app/ui/SampleLink'
import { KINDS } from '@/lib/custody/eventKinds'
import { displayCode } from '@/lib/custody/kitCode'
import type { UnplacedEvent } from '@/lib/store/read/unplaced/unplacedEvents'
import { AssignForm, type Assigning } from './AssignForm'
import styles from './UnplacedList.module.css'

/** Events that fit no sample: what each says, why it fits nothing, and which samples it may have meant. */
export function UnplacedList({
  events,
  now,
  assigning,
}: {
  events: readonly UnplacedEvent[]
  now: number
  assigning: Assigning | null
}) {
  return (
    <ul className={styles.list}>
      {events.map((one) => (
        <li key={one.key}>
          <Unplaced one={one} now={now} />
          <AssignForm
            eventKey={one.key}
            isOfConsignment={one.event.sample === null}
            likely={one.likely}
            typed={assigning?.key === one.key ? assigning : null}
          />
        </li>
      ))}
    </ul>
  )
}

function Unplaced({ one, now }: { one: UnplacedEvent; now: number }) {
  const { event, reason, likely, receivedAt } = one
  const zone = event.zone ?? one.placeZone ?? 'UTC'
  const said = [
    event.place && `at ${event.place}`,
    event.product && `product ${event.product}`,
    event.lot && `lot ${event.lot}`,
    ...factWords(event.facts),
  ].filter(Boolean)
  return (
    <>
      <h2>
        {KINDS[event.kind].happened}{' '}
        <code>{event.sample === null ? `${event.service} ${event.waybill}` : displayCode(event.sample)}</code>
      </h2>
      <p>
        <Instant at={event.earliestAt} zone={zone} now={now} />
        {said.length > 0 && `, ${said.join(', ')}`}.{' '}
        <span className={styles.quiet}>
          Reported by <code>{one.key}</code> as <code>{event.at}</code>, reached Holdfast{' '}
          <Instant at={receivedAt} zone={zone} now={now} />.
        </span>
      </p>
      <p>{reason}</p>
      {likely.length > 0 ? (
        <ul className={styles.likely}>
          {likely.map(({ code, plantName, why }) => (
            <li key={code}>
              Perhaps <SampleLink code={code} /> of {plantName}: {why}.
            </li>
          ))}
        </ul>
      ) : (
        <p className={styles.quiet}>
          {event.sample === null
            ? 'No waybill of a dispatch comes near it.'
            : 'No kit in the register comes near it.'}
        </p>
      )}
    </>
  )
}
