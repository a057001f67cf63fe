import { Link } from '@/app/ui/Link'
import { dateAndTime } from '@/app/ui/words/instantWords'
import { shipLine } from '@/app/ui/words/shipWords'
import { standingAt } from '@/app/ui/words/standingWords'
import { placeName } from '@/lib/schedule/placeName'
import type { Board } from '@/lib/store/read/board/board'
import { bandWords } from './bandWords'
import styles from './PlantBand.module.css'
import { SampleLine } from './SampleLine'

/** One plant's samples under its name, its local time and a line on how they stand. Days are the plant's. */
export function PlantBand({ band, now }: { band: Board['bands'][number]; now: number }) {
  const { plant, rows, ship } = band
  const standings = rows.filter((row) => !row.isSettled).map((row) => standingAt(row, now))
  const line =
    ship &&
    shipLine({
      advice: ship.advice,
      zone: plant.zone,
      now,
      isCut: false,
      serviceName: (code) => (code === null ? null : (ship.serviceNames[code] ?? code)),
    })
  const headingId = `plant-${plant.code}`
  return (
    <section className={styles.band} aria-labelledby={headingId}>
      <header className={styles.head}>
        <h2 id={headingId} className={styles.name}>
          <Link href={`/plants/${encodeURIComponent(plant.code)}`}>{plant.name}</Link>
        </h2>
        <p className={styles.note}>
          {bandWords(standings)}
          {line && `; ${line}`}
        </p>
        <p className={styles.time}>
          {dateAndTime(now, plant.zone, now)} {placeName(plant.zone)}
        </p>
      </header>
      <SampleList rows={rows} zone={plant.zone} now={now} />
    </section>
  )
}

/** Sample lines under one another, their uprights joined into one. */
export function SampleList({
  rows,
  zone,
  now,
}: {
  rows: Board['bands'][number]['rows']
  zone: string
  now: number
}) {
  return (
    <ul className={styles.lines}>
      {rows.map((row) => (
        <SampleLine key={row.code} row={row} zone={zone} now={now} />
      ))}
    </ul>
  )
}
