import styles from '@/app/ui/KeyForm.module.css'

/** One of two ways, of which one is chosen. */
export function Choice({
  name,
  value,
  now,
  label,
}: {
  name: string
  value: string
  now: string
  label: string
}) {
  return (
    <label className={styles.choice}>
      <input type="radio" name={name} value={value} defaultChecked={now === value} />
      <span>{label}</span>
    </label>
  )
}

/** Something that can be ticked. */
export function Tick({
  name,
  value,
  ticked,
  label,
}: {
  name: string
  value: string
  ticked: readonly string[]
  label: string
}) {
  return (
    <label className={styles.choice}>
      <input type="checkbox" name={name} value={value} defaultChecked={ticked.includes(value)} />
      <span>{label}</span>
    </label>
  )
}

/** What is wrong with a field and what would be right. */
export function Fault({ of }: { of: string | undefined }) {
  return of === undefined ? null : <b className={styles.fault}>{of}</b>
}
