import type { ReactNode } from 'react'
import { useTranslate } from '#translate'
import { GettingStarted } from '@/app/(board)/GettingStarted'
import { Instant } from '@/app/ui/Instant'
import { rich } from '@/app/ui/language/rich'
import { SampleLink } from '@/app/ui/SampleLink'
import { formatFacts } from '@/app/ui/words/fact'
import { spellFirstNumber } from '@/app/ui/words/number'
import { isOfUnknownBox, type ReadEvent } from '@/lib/custody/event'
import { KINDS } from '@/lib/custody/eventKinds'
import { formatKitCode, toCanonical } from '@/lib/custody/kitCode'
import { readTextFact } from '@/lib/custody/textFact'
import type { Translate } from '@/lib/messages/translate'
import type { CorrectedUnplaced } from '@/lib/store/read/unplaced/correctedUnplaced'
import type { UnplacedEvent, UnplacedPage } from '@/lib/store/read/unplaced/unplacedEvents'
import { AssignForm, type AssignFormState } from './AssignForm'
import styles from './UnplacedReport.module.css'

const code = (text: ReactNode) => <code>{text}</code>

/** The events that match no sample, and a search among them. */
export function UnplacedReport({
  found,
  isBegun,
  search,
  assigning,
}: {
  found: UnplacedPage
  isBegun: boolean
  search: string
  /** What was typed to assign one of them. */
  assigning: AssignFormState | null
}) {
  const t = useTranslate()
  const { events, claims, total, asOf, corrected } = found
  const matching = search === '' ? events : events.filter((one) => matchesSearch(one, search))
  return (
    <>
      <h1 className={styles.heading}>
        {isBegun
          ? t('unplaced.heading', { count: total, spelled: spellFirstNumber(t, total) })
          : t('unplaced.heading.noEvents')}
      </h1>
      {total > 0 && (
        <>
          <p className="prose">
            {t('unplaced.about')} {events.length < total && t('unplaced.newest', { count: events.length })}
          </p>
          <search>
            <form action="/unplaced" className={styles.search}>
              <label>
                <span>{t('unplaced.search.label')}</span>
                <input
                  type="search"
                  name="search"
                  defaultValue={search}
                  maxLength={200}
                  placeholder={t('unplaced.search.placeholder')}
                />
              </label>
              <button type="submit">{t('unplaced.search.submit')}</button>
            </form>
          </search>
        </>
      )}
      {matching.length > 0 ? (
        <UnplacedList events={matching} now={asOf} assigning={assigning} />
      ) : (
        claims.length === 0 && <EmptyUnplaced isFiltered={total > 0} isBegun={isBegun} />
      )}
      <ClaimList claims={claims} now={asOf} assigning={assigning} />
      <CorrectedUnplacedList
        events={search === '' ? corrected : corrected.filter((one) => matchesSearch(one, search))}
        now={asOf}
      />
    </>
  )
}

function matchesSearch({ event, key }: Pick<UnplacedEvent, 'event' | 'key'>, search: string): boolean {
  const text = search.toLowerCase()
  const canonical = toCanonical(search)
  const codes = [event.sample, event.waybill].map((one) => toCanonical(one ?? ''))
  return (
    (canonical !== '' && codes.some((one) => one.includes(canonical))) ||
    [key, event.kind, event.service ?? '', readTextFact(event, 'writtenOnBox') ?? ''].some((one) =>
      one.toLowerCase().includes(text),
    )
  )
}

/** Why no event is listed, and what to do about it. */
function EmptyUnplaced({ isFiltered, isBegun }: { isFiltered: boolean; isBegun: boolean }) {
  const t = useTranslate()
  if (isFiltered)
    return <p>{rich(t, 'unplaced.search.none', { link: (text) => <a href="/unplaced">{text}</a> })}</p>
  return isBegun ? <p>{t('unplaced.empty')}</p> : <GettingStarted />
}

/** Hand-overs that name a waybill under which another maker's sample travels. */
function ClaimList({
  claims,
  now,
  assigning,
}: {
  claims: readonly UnplacedEvent[]
  now: number
  assigning: AssignFormState | null
}) {
  const t = useTranslate()
  if (claims.length === 0) return null
  return (
    <section aria-labelledby="claims">
      <h2 id="claims" className={styles.subheading}>
        {t('unplaced.claims.heading')}
      </h2>
      <p className="prose">{t('unplaced.claims.about')}</p>
      <UnplacedList events={claims} now={now} assigning={assigning} />
    </section>
  )
}

/** Events that matched no sample and were corrected or withdrawn: they need nobody, and stay visible. */
function CorrectedUnplacedList({ events, now }: { events: readonly CorrectedUnplaced[]; now: number }) {
  const t = useTranslate()
  if (events.length === 0) return null
  return (
    <section className={styles.section} aria-labelledby="put-right">
      <h2 id="put-right">{t('unplaced.corrected.heading')}</h2>
      <p>{t('unplaced.corrected.about')}</p>
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
      {rich(t, 'unplaced.corrected.event', {
        out: (text) => <s>{text}</s>,
        code,
        kind: t(KINDS[event.kind].label),
        about: formatAbout(t, event),
        time: <Instant at={event.earliestAt} zone={event.zone ?? one.placeZone ?? 'UTC'} now={now} />,
        key: one.key,
      })}
      <ul>
        {one.correctedBy.map(({ key, kind, sample }) => (
          <li key={key}>
            {sample === null
              ? rich(t, 'unplaced.corrected.by', { code, key, kind: t(KINDS[kind].label) })
              : rich(t, 'unplaced.corrected.byOfSample', {
                  code,
                  key,
                  kind: t(KINDS[kind].label),
                  sample: <SampleLink code={sample} />,
                })}
          </li>
        ))}
      </ul>
    </li>
  )
}

/** The kit code of an event, the consignment it is about, or that it is about a box without a code. */
function formatAbout(t: Translate, event: ReadEvent): string {
  const { sample, service, waybill } = event
  if (isOfUnknownBox(event)) return t('unplaced.box')
  return sample === null ? `${service} ${waybill}` : formatKitCode(sample)
}

/** Events that match no sample: what each says, why it matches none, and the samples it may be about. */
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
          <AssignForm event={one} typed={assigning?.key === one.key ? assigning : null} />
        </li>
      ))}
    </ul>
  )
}

function UnplacedItem({ one, now }: { one: UnplacedEvent; now: number }) {
  const t = useTranslate()
  const { event, reason, likely, acceptedAt } = one
  const { product, lot, facts } = event
  const { writtenOnBox, ...otherFacts } = facts ?? {}
  const waybill = isOfUnknownBox(event) ? event.waybill : null
  const zone = event.zone ?? one.placeZone ?? 'UTC'
  const details = [
    ...(one.placeName ? [t('samples.event.place', { place: one.placeName })] : []),
    ...(waybill ? [t('unplaced.waybill', { waybill })] : []),
    ...(typeof writtenOnBox === 'string' ? [t('unplaced.writtenOnBox', { text: writtenOnBox })] : []),
    ...(product ? [t('samples.event.product', { product })] : []),
    ...(lot ? [t('samples.event.lot', { lot })] : []),
    ...formatFacts(t, { kind: event.kind, facts: otherFacts }),
  ]
  const time = <Instant at={event.earliestAt} zone={zone} now={now} />
  return (
    <>
      <h2>
        {rich(t, 'unplaced.event', {
          code: isOfUnknownBox(event) ? (text) => text : code,
          kind: t(KINDS[event.kind].label),
          about: formatAbout(t, event),
        })}
      </h2>
      <p>
        {details.length === 0
          ? rich(t, 'unplaced.time', { time })
          : rich(t, 'unplaced.timeAndDetails', { time, details: details.join('; ') })}{' '}
        <span className={styles.quiet}>
          {rich(t, 'unplaced.reported', {
            code,
            key: one.key,
            at: <span className="whole">{event.at}</span>,
            acceptedAt: <Instant at={acceptedAt} zone={zone} now={now} />,
          })}
        </span>
      </p>
      <p>{t.message(reason)}</p>
      {likely.length > 0 ? (
        <ul className={styles.likely}>
          {likely.map(({ code: kit, plantName, why }) => (
            <li key={kit}>
              {rich(t, one.isClaim ? 'unplaced.claims.sample' : 'unplaced.likely', {
                sample: <SampleLink code={kit} />,
                plant: plantName,
                why: t.message(why),
              })}
            </li>
          ))}
        </ul>
      ) : (
        <p className={styles.quiet}>
          {t(
            event.sample === null && event.waybill !== null
              ? 'unplaced.noLikelyWaybill'
              : 'unplaced.noLikelyKit',
          )}
        </p>
      )}
    </>
  )
}
