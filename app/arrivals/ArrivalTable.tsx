import { useTranslate } from '#translate'
import { SampleLink } from '@/app/ui/SampleLink'
import { formatArrivalDays } from '@/app/ui/words/chanceText'
import { formatDayNumber } from '@/app/ui/words/instant'
import { spellNumber } from '@/app/ui/words/number'
import { getStanding } from '@/app/ui/words/standing'
import { formatKitCode } from '@/lib/custody/kitCode'
import type { Translate } from '@/lib/messages/translate'
import type { Arrivals } from '@/lib/store/read/arrivals/arrivals'
import styles from './ArrivalTable.module.css'
import { formatSampleRange } from './arrivalsSummary'

const percent = (share: number) => `${(share * 100).toFixed(1)}%`

type Laboratory = Arrivals['laboratories'][number]
type Coming = Laboratory['coming'][number]

/** Each coming open day of a laboratory as a column, each consignment as a row with its chances; on a phone, as lists. */
export function ArrivalTable({ laboratory, asOf }: { laboratory: Laboratory; asOf: number }) {
  const t = useTranslate()
  const { days, coming, zone } = laboratory
  const firstDay = days[0]?.day ?? 0
  const hasEarlier = coming.some((one) => computeArrivedChance(one, firstDay) >= MIN_SHOWN_CHANCE)
  const most = Math.max(1, ...days.map(({ high }) => high))
  return (
    <div className={styles.scroll}>
      <ul className={styles.days}>
        {days
          .filter(({ high }) => high > 0)
          .map((one) => (
            <li key={one.day}>
              {formatDayNumber(t, one.day, zone, asOf)}: {formatSampleRange(t, one)}
            </li>
          ))}
      </ul>
      <table className={styles.table}>
        <caption>
          Chances out of a hundred that each comes on a day, the laboratory’s days. “Expect” is what eight
          days of ten like it bring.
        </caption>
        <thead>
          <tr>
            <th scope="col">Coming</th>
            <th scope="col" className={styles.likely}>
              Likely
            </th>
            {hasEarlier && (
              <th scope="col" className={styles.day}>
                Already there
              </th>
            )}
            {days.map(({ day }) => (
              <th key={day} scope="col" className={styles.day}>
                {formatDayNumber(t, day, zone, asOf)}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          <tr className={styles.expect}>
            <th scope="row">Expect</th>
            <td className={styles.likely} />
            {hasEarlier && <td />}
            {days.map(({ day, low, high, mean }) => (
              <td key={day} className={styles.day}>
                <span className={styles.range} title={formatSampleRange(t, { low, high })}>
                  {low === high ? low : `${low}–${high}`}
                </span>
                <svg aria-hidden="true" focusable="false" className={styles.spread}>
                  <line x1="10%" x2="90%" y1="50%" y2="50%" />
                  <line
                    className={styles.reach}
                    x1={`${10 + (80 * low) / most}%`}
                    x2={`${10 + (80 * high) / most}%`}
                    y1="50%"
                    y2="50%"
                  />
                  <circle cx={`${10 + (80 * Math.min(mean, most)) / most}%`} cy="50%" r="2.5" />
                </svg>
              </td>
            ))}
          </tr>
          {coming.map((one) => (
            <ConsignmentRow
              key={one.samples[0]?.code}
              one={one}
              laboratory={laboratory}
              hasEarlier={hasEarlier}
              asOf={asOf}
            />
          ))}
        </tbody>
      </table>
    </div>
  )
}

/** By what it comes, or that it does not yet. */
function formatTransport(t: Translate, { handedOverAt, service, samples }: Coming): string | null {
  if (handedOverAt === null) return 'not yet handed over'
  return samples.every(({ stage }) => stage === 'delivered') ? 'delivered, not logged in' : service
}

/** That its limit has lapsed, for it may come and serve no more. */
function formatLapsed(t: Translate, { samples }: Coming, now: number): string | null {
  return samples.every((row) => getStanding(row, now) === 'lapsed') ? 'lapsed' : null
}

/** Chances below this are not written. */
const MIN_SHOWN_CHANCE = 0.005

/** The chance that it is there already and nobody has written it down. */
function computeArrivedChance({ chances }: Coming, firstDay: number): number {
  return chances.reduce((sum, { day, chance }) => (day < firstDay ? sum + chance : sum), 0)
}

function ConsignmentRow({
  one,
  laboratory,
  hasEarlier,
  asOf,
}: {
  one: Coming
  laboratory: Laboratory
  hasEarlier: boolean
  asOf: number
}) {
  const t = useTranslate()
  const { days, zone } = laboratory
  const chanceOn = new Map(one.chances.map(({ day, chance }) => [day, chance]))
  const first = one.samples[0]
  return (
    <tr data-late={one.lateSinceDay !== null}>
      <th scope="row">
        {first && <SampleLink code={first.code} />}
        {one.samples.length > 1 && (
          <span title={one.samples.map(({ code }) => formatKitCode(code)).join(', ')}>
            {' '}
            and {spellNumber(t, one.samples.length - 1)} more
          </span>
        )}
        <span className={styles.quiet}>
          {[one.plant.name, formatTransport(t, one), formatLapsed(t, one, asOf)].filter(Boolean).join(', ')}
        </span>
      </th>
      <td className={styles.likely}>{formatArrivalDays(t, one, zone, asOf)}</td>
      {hasEarlier && <ChanceCell chance={computeArrivedChance(one, days[0]?.day ?? 0)} />}
      {days.map(({ day }) => (
        <ChanceCell key={day} chance={chanceOn.get(day) ?? 0} />
      ))}
    </tr>
  )
}

/** A chance as a number out of a hundred and as a bar behind it; what is too small is left empty. */
function ChanceCell({ chance }: { chance: number }) {
  return (
    <td className={styles.day}>
      {chance >= MIN_SHOWN_CHANCE && (
        <>
          <svg className={styles.bar} aria-hidden="true" focusable="false">
            <rect y={percent(1 - chance)} width="100%" height={percent(chance)} />
          </svg>
          <span className={styles.chance}>{Math.round(chance * 100)}</span>
        </>
      )}
    </td>
  )
}
