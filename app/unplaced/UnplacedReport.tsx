import { useTranslate } from '#translate'
import { GettingStarted } from '@/app/(board)/GettingStarted'
import { formatFacts } from '@/app/samples/[code]/EventRow'
import { Instant } from '@/app/ui/Instant'
import { SampleLink } from '@/app/ui/SampleLink'
import { spellCount } from '@/app/ui/words/number'
import { KINDS } from '@/lib/custody/eventKinds'
import { formatKitCode, toCanonical } from '@/lib/custody/kitCode'
import { capitalised } from '@/lib/schedule/firstLetter'
import type { CorrectedUnplaced } from '@/lib/store/read/unplaced/correctedUnplaced'
import type { UnplacedEvent, UnplacedPage } from '@/lib/store/read/unplaced/unplacedEvents'
import { AssignForm, type AssignFormState } from './AssignForm'
import styles from './UnplacedReport.module.css'

/** The events that fit nothing, with a search among them. */
export function UnplacedReport({
  found,
  isBegun,
  search,
  assigning,
}: {
  found: UnplacedPage
  isBegun: boolean
  search: string
  /** What was typed about assigning one of them. */
  assigning: AssignFormState | null
}) {
  const t = useTranslate()
  const { events, total, asOf, corrected } = found
  const fitting = search === '' ? events : events.filter((one) => matchesSearch(one, search))
  return (
    <>
      <h1 className={styles.heading}>
        {!isBegun
          ? 'There are no events yet.'
          : total === 0
            ? 'Every event fits a sample.'
            : `${capitalised(spellCount(t, total, 'event fits', 'events fit'))} no sample.`}
      </h1>
      {total > 0 && (
        <>
          <p className="prose">
            They are kept. Each is placed by itself as soon as its kit is in the register, or a dispatch names
            its waybill; until then no clock knows of it. If you know better, assign it.
            {events.length < total && ` These are the newest ${events.length}.`}
          </p>
          <search>
            <form action="/unplaced" className={styles.search}>
              <label>
                <span>Search among them</span>
                <input
                  type="search"
                  name="search"
                  defaultValue={search}
                  maxLength={200}
                  placeholder="code, waybill or who sent it"
                />
              </label>
              <button type="submit">Find</button>
            </form>
          </search>
        </>
      )}
      {fitting.length > 0 ? (
        <UnplacedList events={fitting} now={asOf} assigning={assigning} />
      ) : (
        <EmptyUnplaced isFiltered={total > 0} isBegun={isBegun} />
      )}
      <CorrectedUnplacedList
        events={search === '' ? corrected : corrected.filter((one) => matchesSearch(one, search))}
        now={asOf}
      />
    </>
  )
}

function matchesSearch({ event, key }: Pick<UnplacedEvent, 'event' | 'key'>, search: string): boolean {
  const words = search.toLowerCase()
  const code = toCanonical(search)
  const codes = [event.sample, event.waybill].map((one) => toCanonical(one ?? ''))
  return (
    (code !== '' && codes.some((one) => one.includes(code))) ||
    [key, event.kind, event.service ?? ''].some((text) => text.toLowerCase().includes(words))
  )
}

/** Why no unplaced event is shown, and what to do about it. */
function EmptyUnplaced({ isFiltered, isBegun }: { isFiltered: boolean; isBegun: boolean }) {
  if (isFiltered)
    return (
      <p>
        None of them fits this search. <a href="/unplaced">Clear it</a> to see all.
      </p>
    )
  if (isBegun)
    return <p>Nothing waits here. What comes in with a wrong code, or before its kit, will be shown.</p>
  return <GettingStarted />
}

/** Events that fit no sample and were corrected or withdrawn: nobody need do anything, and they stay in sight. */
function CorrectedUnplacedList({ events, now }: { events: readonly CorrectedUnplaced[]; now: number }) {
  if (events.length === 0) return null
  return (
    <section className={styles.section} aria-labelledby="put-right">
      <h2 id="put-right">Put right since</h2>
      <p>They fit no sample, and are out of the count for good. Nothing has to be done with them.</p>
      <ul>
        {events.map((one) => (
          <CorrectedItem key={one.key} one={one} now={now} />
        ))}
      </ul>
    </section>
  )
}

function CorrectedItem({ one, now }: { one: CorrectedUnplaced; now: number }) {
  const t = useTranslate()
  const { event } = one
  return (
    <li>
      <s>
        {t(KINDS[event.kind].label)}{' '}
        <code>
          {event.sample === null ? `${event.service} ${event.waybill}` : formatKitCode(event.sample)}
        </code>
        , <Instant at={event.earliestAt} zone={event.zone ?? one.placeZone ?? 'UTC'} now={now} />
      </s>
      , reported by <code>{one.key}</code>; out of the count, by{' '}
      {one.correctedBy.map(({ key, kind, sample }, index) => (
        <span key={key}>
          {index > 0 && ' and '}
          <code>{key}</code> ({t(KINDS[kind].label)}
          {sample !== null && (
            <>
              {' '}
              of <SampleLink code={sample} />
            </>
          )}
          )
        </span>
      ))}
      .
    </li>
  )
}

/** Events that fit no sample: what each says, why it fits nothing, and which samples it may have meant. */
function UnplacedList({
  events,
  now,
  assigning,
}: {
  events: readonly UnplacedEvent[]
  now: number
  assigning: AssignFormState | null
}) {
  return (
    <ul className={styles.list}>
      {events.map((one) => (
        <li key={one.key}>
          <UnplacedItem one={one} now={now} />
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

function UnplacedItem({ one, now }: { one: UnplacedEvent; now: number }) {
  const t = useTranslate()
  const { event, reason, likely, receivedAt } = one
  const zone = event.zone ?? one.placeZone ?? 'UTC'
  const said = [
    event.place && `at ${event.place}`,
    event.product && `product ${event.product}`,
    event.lot && `lot ${event.lot}`,
    ...formatFacts(t, event.facts),
  ].filter(Boolean)
  return (
    <>
      <h2>
        {t(KINDS[event.kind].label)}{' '}
        <code>
          {event.sample === null ? `${event.service} ${event.waybill}` : formatKitCode(event.sample)}
        </code>
      </h2>
      <p>
        <Instant at={event.earliestAt} zone={zone} now={now} />
        {said.length > 0 && `, ${said.join(', ')}`}.{' '}
        <span className={styles.quiet}>
          Reported by <code>{one.key}</code> as <code>{event.at}</code>, reached Holdfast{' '}
          <Instant at={receivedAt} zone={zone} now={now} />.
        </span>
      </p>
      <p>{t.message(reason)}</p>
      {likely.length > 0 ? (
        <ul className={styles.likely}>
          {likely.map(({ code, plantName, why }) => (
            <li key={code}>
              Perhaps <SampleLink code={code} /> of {plantName}: {t.message(why)}.
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
