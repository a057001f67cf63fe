import { useTranslate } from '#translate'
import { type LaboratoryContent, openingDays } from '@/lib/custody/registerDocument'
import { MONTH_NAMES, WEEKDAY_NAMES } from '@/lib/hold/holidayText'
import type { FormValues } from './forms/formValues'
import { parseLaboratory } from './forms/laboratoryForm'
import styles from './YearPreview.module.css'
import { computeYearDays, formatClosedDays, type YearDay } from './yearDays'

/** The year of a laboratory as its form is filled in; nothing while the form has something that cannot be read. */
export function YearPreview({ values, year }: { values: FormValues; year: number }) {
  const { content, problems } = parseLaboratory(values)
  const read = openingDays.safeParse(content)
  if (problems.length > 0 || !read.success || Object.keys(read.data.receiving).length === 0) return null
  return <YearCalendar laboratory={read.data} year={year} />
}

/** A laboratory's year: open days in ink, closed ones struck through, and why in words under each month. */
function YearCalendar({
  laboratory,
  year,
}: {
  laboratory: Pick<LaboratoryContent, 'receiving' | 'closed' | 'holidays'>
  year: number
}) {
  const months = computeYearDays(laboratory, year)
  const open = months.flat().filter(({ closed }) => closed === null).length
  return (
    <section aria-labelledby="year">
      <h2 id="year">
        {year}: {open} open days
      </h2>
      <p>A day with a line through it is closed; holidays and closures are named under their month.</p>
      <div className={styles.year}>
        {months.map((month, index) => (
          <Month key={MONTH_NAMES[index]} name={MONTH_NAMES[index] as string} days={month} />
        ))}
      </div>
    </section>
  )
}

function Month({ name, days }: { name: string; days: YearDay[] }) {
  const t = useTranslate()
  const lead = days[0]?.column ?? 0
  const weeks = Array.from({ length: Math.ceil((lead + days.length) / 7) }, (_, week) =>
    WEEKDAY_NAMES.map((weekday, column) => ({ weekday, day: days[week * 7 + column - lead] })),
  )
  return (
    <div>
      <table className={styles.month}>
        <caption>{name}</caption>
        <thead>
          <tr>
            {[...WEEKDAY_NAMES.slice(1), 'Sunday'].map((weekday) => (
              <th key={weekday} scope="col" abbr={weekday}>
                {weekday.slice(0, 2)}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {weeks.map((week) => (
            <tr key={week.find(({ day }) => day)?.day?.date}>
              {week.map(({ weekday, day }) => (
                <td key={weekday}>{day && (day.closed === null ? day.date : <Closed day={day} />)}</td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
      <p className={styles.why}>{formatClosedDays(t, days)}</p>
    </div>
  )
}

function Closed({ day: { date, closed } }: { day: YearDay }) {
  return (
    <s data-why={closed === '' ? 'weekday' : 'named'}>
      {date}
      <span className="unseen"> closed</span>
    </s>
  )
}
