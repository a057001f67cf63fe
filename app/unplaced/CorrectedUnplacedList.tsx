import { Instant } from '@/app/ui/Instant'
import { SampleLink } from '@/app/ui/SampleLink'
import { KINDS } from '@/lib/custody/eventKinds'
import { displayCode } from '@/lib/custody/kitCode'
import type { CorrectedUnplaced } from '@/lib/store/read/unplaced/correctedUnplaced'
import styles from './CorrectedUnplacedList.module.css'

/** Events that fit no sample and were corrected or withdrawn: nobody need do anything, and they stay in sight. */
export function CorrectedUnplacedList({
  events,
  now,
}: {
  events: readonly CorrectedUnplaced[]
  now: number
}) {
  if (events.length === 0) return null
  return (
    <section className={styles.section} aria-labelledby="put-right">
      <h2 id="put-right">Put right since</h2>
      <p>They fit no sample, and are out of the count for good. Nothing has to be done with them.</p>
      <ul>
        {events.map((one) => (
          <Corrected key={one.key} one={one} now={now} />
        ))}
      </ul>
    </section>
  )
}

function Corrected({ one, now }: { one: CorrectedUnplaced; now: number }) {
  const { event } = one
  return (
    <li>
      <s>
        {KINDS[event.kind].happened}{' '}
        <code>{event.sample === null ? `${event.service} ${event.waybill}` : displayCode(event.sample)}</code>
        , <Instant at={event.earliestAt} zone={event.zone ?? one.placeZone ?? 'UTC'} now={now} />
      </s>
      , reported by <code>{one.key}</code>; out of the count, by{' '}
      {one.correctedBy.map(({ key, kind, sample }, index) => (
        <span key={key}>
          {index > 0 && ' and '}
          <code>{key}</code> ({KINDS[kind].happened}
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
