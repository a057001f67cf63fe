import { dateAndTime } from '@/app/ui/words/instantWords'

/** The zones that a field with `list="zones"` offers, each with the time that it is there. `now` in ms UTC. */
export function ZoneList({ now }: { now: number }) {
  return (
    <datalist id="zones">
      {Intl.supportedValuesOf('timeZone').map((zone) => (
        <option key={zone} value={zone} label={`there it is ${dateAndTime(now, zone, now)}`} />
      ))}
    </datalist>
  )
}
