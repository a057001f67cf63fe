import { capitalised, countOf } from '@/app/ui/words/numberWords'
import { canonical } from '@/lib/custody/kitCode'
import type { UnplacedEvent, UnplacedPage } from '@/lib/store/read/unplaced/unplacedEvents'
import type { Assigning } from './AssignForm'
import { CorrectedUnplacedList } from './CorrectedUnplacedList'
import { EmptyUnplaced } from './EmptyUnplaced'
import { UnplacedList } from './UnplacedList'
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
  assigning: Assigning | null
}) {
  const { events, total, asOf, corrected } = found
  const fitting = search === '' ? events : events.filter((one) => speaksOf(one, search))
  return (
    <>
      <h1 className={styles.heading}>
        {!isBegun
          ? 'There are no events yet.'
          : total === 0
            ? 'Every event fits a sample.'
            : `${capitalised(countOf(total, 'event fits', 'events fit'))} no sample.`}
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
        events={search === '' ? corrected : corrected.filter((one) => speaksOf(one, search))}
        now={asOf}
      />
    </>
  )
}

function speaksOf({ event, key }: Pick<UnplacedEvent, 'event' | 'key'>, search: string): boolean {
  const words = search.toLowerCase()
  const code = canonical(search)
  const codes = [event.sample, event.waybill].map((one) => canonical(one ?? ''))
  return (
    (code !== '' && codes.some((one) => one.includes(code))) ||
    [key, event.kind, event.service ?? ''].some((text) => text.toLowerCase().includes(words))
  )
}
