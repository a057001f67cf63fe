import { useTranslate } from '#translate'
import { formatDay, formatDeadline, formatInstant } from './words/instant'

/** A time with its weekday, date and place, as a `time` element. `at` and `now` in ms UTC. */
export function Instant({ at, zone, now }: { at: number; zone: string; now: number }) {
  const t = useTranslate()
  return <time dateTime={new Date(at).toISOString()}>{formatInstant(t, at, zone, now)}</time>
}

/** A deadline; the end of a day is written as such. */
export function Deadline({ at, zone, now }: { at: number; zone: string; now: number }) {
  const t = useTranslate()
  return <time dateTime={new Date(at).toISOString()}>{formatDeadline(t, at, zone, now)}</time>
}

/** The local day of an instant. */
export function Day({ at, zone, now }: { at: number; zone: string; now: number }) {
  const t = useTranslate()
  return <time dateTime={new Date(at).toISOString()}>{formatDay(t, at, zone, now)}</time>
}
