import { displayCode } from '@/lib/custody/kitCode'
import type { KitContent, RegisterDocument } from '@/lib/custody/registerDocument'
import { BarCode } from './BarCode'
import styles from './KitLabel.module.css'

/** The label of one kit: its code, what it is for, where it goes, and what to take care of. */
export function KitLabel({ kit, register }: { kit: KitContent; register: RegisterDocument }) {
  const named = (entries: readonly { code: string; name: string }[], code: string | undefined) =>
    entries.find((one) => one.code === code)?.name ?? code
  return (
    <article className={styles.label}>
      <div className={styles.head}>
        <p className={styles.code}>{displayCode(kit.code)}</p>
        <BarCode code={kit.code} />
      </div>
      <p>
        {named(register.plants, kit.plant)} ({kit.plant}):{' '}
        {kit.product
          ? `${named(register.products, kit.product)} (${kit.product})`
          : 'spare, product ________'}
        {kit.purpose && kit.purpose !== 'first' && `; ${kit.purpose}`}
      </p>
      <p>
        To {named(register.laboratories, kit.laboratory)} ({kit.laboratory})
        {kit.service && `, by ${named(register.services, kit.service)}`}
      </p>
      <p className={styles.care}>
        Cut, seal, hand over; note each time. Sharp blade, moving line, heavy rolls; gloves may be natural
        latex. The site’s own safety rules come first.
      </p>
    </article>
  )
}
