import { dayWords } from '@/app/ui/words/instantWords'
import type { KitContent, RegisterDocument } from '@/lib/custody/registerDocument'
import { dayText, localDay } from '@/lib/hold/zone'
import styles from './Form.module.css'
import { kitValues } from './forms/simpleForms'

/** Says of a kit that was not posted yet that it is on its way since today. `now` in ms UTC. */
export function PostedToday({
  kit,
  register,
  now,
}: {
  kit: KitContent
  register: RegisterDocument
  now: number
}) {
  if (kit.posted !== 'not yet') return null
  const zone = register.plants.find(({ code }) => code === kit.plant)?.zone ?? 'UTC'
  const values = { ...kitValues(kit), list: 'kits', posted: dayText(localDay(now, zone)) }
  return (
    <form method="post" action="/api/setup/entries" className={styles.once}>
      {Object.entries(values).map(([name, value]) => (
        <input key={name} type="hidden" name={name} value={value} />
      ))}
      <p>This kit has not been posted.</p>
      <button type="submit">Posted today, {dayWords(now, zone, now)}</button>
      <p className={styles.hint}>Another day, or anything else about it, is changed below.</p>
    </form>
  )
}
