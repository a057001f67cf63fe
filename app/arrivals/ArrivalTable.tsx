import { useTranslate } from '#translate'
import { rich } from '@/app/ui/language/rich'
import { SampleLink } from '@/app/ui/SampleLink'
import { formatArrivalDays } from '@/app/ui/words/chance'
import { formatDayNumber } from '@/app/ui/words/instant'
import { formatKitCode } from '@/lib/custody/kitCode'
import type { Translate } from '@/lib/messages/translate'
import type { Arrivals } from '@/lib/store/read/arrivals/arrivals'
import styles from './ArrivalTable.module.css'
import { formatSampleRange } from './arrivalsSummary'
import { formatQuestion } from './lateConsignment'

const percent = (share: number) => `${(share * 100).toFixed(1)}%`

type Laboratory = Arrivals['laboratories'][number]
type Consignment = Laboratory['coming'][number]

/** A column for each coming open day of a laboratory, a row of chances for each consignment; on a phone, lists. */
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
        <caption>{t('arrivals.table.caption')}</caption>
        <thead>
          <tr>
            <th scope="col">{t('arrivals.table.consignment')}</th>
            <th scope="col" className={styles.likely}>
              {t('arrivals.table.likely')}
            </th>
            {hasEarlier && (
              <th scope="col" className={styles.day}>
                {t('arrivals.table.alreadyThere')}
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
            <th scope="row">{t('arrivals.table.expected')}</th>
            <td className={styles.likely} />
            {hasEarlier && <td />}
            {days.map(({ day, low, high, mean }) => (
              <td key={day} className={styles.day}>
                <span className={styles.range} title={formatSampleRange(t, { low, high })}>
                  {low === high ? t.number(low) : `${t.number(low)}–${t.number(high)}`}
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

/** The service that carries a consignment, or where the consignment is instead; null if no service is known. */
function formatTransport(t: Translate, { handedOverAt, service, samples }: Consignment): string | null {
  if (handedOverAt === null) return t('arrivals.table.notHandedOver')
  return samples.every(({ stage }) => stage === 'delivered') ? t('arrivals.table.delivered') : service
}

/** Smaller chances are not shown. */
const MIN_SHOWN_CHANCE = 0.005

/** The chance that a consignment arrived before `firstDay` and is not logged in yet. */
function computeArrivedChance({ chances }: Consignment, firstDay: number): number {
  return chances.reduce((sum, { day, chance }) => (day < firstDay ? sum + chance : sum), 0)
}

function ConsignmentRow({
  one,
  laboratory,
  hasEarlier,
  asOf,
}: {
  one: Consignment
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
        {first && <ConsignmentName first={first.code} samples={one.samples} />}
        <span className={styles.quiet}>
          {[one.plant.name, formatTransport(t, one), formatQuestion(t, one)].filter(Boolean).join(' · ')}
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

/** A consignment by its first sample and how many more it holds. */
function ConsignmentName({ first, samples }: { first: string; samples: Consignment['samples'] }) {
  const t = useTranslate()
  const sample = <SampleLink code={first} />
  if (samples.length === 1) return sample
  const codes = t.list(samples.map(({ code }) => formatKitCode(code)))
  return rich(t, 'arrivals.table.moreSamples', {
    sample,
    count: samples.length - 1,
    more: (text) => <span title={codes}>{text}</span>,
  })
}

/** A chance out of 100 with a bar behind it; empty if it is too small. */
function ChanceCell({ chance }: { chance: number }) {
  const t = useTranslate()
  return (
    <td className={styles.day}>
      {chance >= MIN_SHOWN_CHANCE && (
        <>
          <svg className={styles.bar} aria-hidden="true" focusable="false">
            <rect y={percent(1 - chance)} width="100%" height={percent(chance)} />
          </svg>
          <span className={styles.chance}>{t.number(Math.round(chance * 100))}</span>
        </>
      )}
    </td>
  )
}
