import { useTranslate } from '#translate'
import styles from '@/app/arrivals/DeskReport.module.css'
import { Instant } from '@/app/ui/Instant'
import { Link } from '@/app/ui/Link'
import { rich } from '@/app/ui/language/rich'
import { formatFacts } from '@/app/ui/words/fact'
import { formatKitCode } from '@/lib/custody/kitCode'
import type { KeptBox, KeptBoxes } from '@/lib/store/read/arrivals/keptBoxes'

/** The boxes that a desk received without a kit and that nobody has matched to a sample yet. */
export function KeptBoxList({ kept, now, mayMatch }: { kept: KeptBoxes; now: number; mayMatch: boolean }) {
  const t = useTranslate()
  if (kept.total === 0) return null
  return (
    <section className={`${styles.section} ${styles.narrow}`} aria-labelledby="kept">
      <h2 id="kept">{t('receiving.kept.heading', { count: kept.total })}</h2>
      <p className={styles.note}>
        {mayMatch
          ? rich(t, 'receiving.kept.match', { link: (text) => <Link href="/unplaced">{text}</Link> })
          : t('receiving.kept.about')}
      </p>
      <ul className={styles.list}>
        {kept.boxes.map((box) => (
          <li key={box.key}>
            <KeptItem box={box} now={now} />
          </li>
        ))}
      </ul>
    </section>
  )
}

function KeptItem({ box: { event, zone }, now }: { box: KeptBox; now: number }) {
  const t = useTranslate()
  const { sample, waybill, kind } = event
  const { writtenOnBox, ...facts } = event.facts ?? {}
  const details = [
    ...(waybill ? [t('unplaced.waybill', { waybill })] : []),
    ...(typeof writtenOnBox === 'string' ? [t('unplaced.writtenOnBox', { text: writtenOnBox })] : []),
    ...formatFacts(t, { kind, facts }),
  ]
  return rich(t, 'receiving.kept.box', {
    box: sample === null ? t('receiving.box.noCode') : <code>{formatKitCode(sample)}</code>,
    time: <Instant at={event.earliestAt} zone={zone} now={now} />,
    hasDetails: details.length > 0 ? 'yes' : 'no',
    details: details.join('; '),
  })
}
