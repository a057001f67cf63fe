import { useTranslate } from '#translate'
import { formatDay, formatDeadline, formatInstant } from './words/instant'

/** A time of day with its weekday, date and place, readable by machines too. `at` and `now` in ms UTC. */
export function Instant({ at, zone, now }: { at: number; zone: string; now: number }) {
  const t = useTranslate()
  return <time dateTime={new Date(at).toISOString()}>{formatInstant(t, at, zone, now)}</time>
}

/** An instant by which something has to be done: where it is the end of a day, told as that. */
export function Deadline({ at, zone, now }: { at: number; zone: string; now: number }) {
  const t = useTranslate()
  return <time dateTime={new Date(at).toISOString()}>{formatDeadline(t, at, zone, now)}</time>
}

/** The local day of an instant. */
export function Day({ at, zone, now }: { at: number; zone: string; now: number }) {
  const t = useTranslate()
  return <time dateTime={new Date(at).toISOString()}>{formatDay(t, at, zone, now)}</time>
}
