import { useTranslate } from '#translate'
import { rich } from '@/app/ui/language/rich'
import { type LaboratoryContent, openingDays } from '@/lib/custody/registerDocument'
import type { FormValues } from './forms/formValues'
import { parseLaboratory } from './forms/laboratoryForm'
import { CALENDAR_WEEKDAY_LABELS, WEEK, WEEKDAY_LABELS } from './weekdays'
import styles from './YearPreview.module.css'
import { computeYearDays, formatClosedDays, type YearDay } from './yearDays'

/** The laboratory's year as the form is filled in; nothing while the form is wrong. */
export function YearPreview({ values, year }: { values: FormValues; year: number }) {
  const { content, problems } = parseLaboratory(values)
  const read = openingDays.safeParse(content)
  if (problems.length > 0 || !read.success || Object.keys(read.data.receiving).length === 0) return null
  return <YearCalendar laboratory={read.data} year={year} />
}

function YearCalendar({
  laboratory,
  year,
}: {
  laboratory: Pick<LaboratoryContent, 'receiving' | 'closed' | 'holidays'>
  year: number
}) {
  const t = useTranslate()
  const months = computeYearDays(laboratory, year)
  const openCount = months.flat().filter(({ state }) => state === 'open').length
  return (
    <section aria-labelledby="year">
      <h2 id="year">{t('setup.year.heading', { year: String(year), count: openCount })}</h2>
      <p>{t('setup.year.note')}</p>
      <div className={styles.year}>
        {months.map((month, index) => {
          const name = t.date(Date.UTC(year, index, 1), 'UTC', 'month')
          return <Month key={name} name={name} days={month} />
        })}
      </div>
    </section>
  )
}

function Month({ name, days }: { name: string; days: YearDay[] }) {
  const t = useTranslate()
  const blanks = days[0]?.column ?? 0
  const weeks = Array.from({ length: Math.ceil((blanks + days.length) / 7) }, (_, week) =>
    WEEK.map((weekday, column) => ({ weekday, day: days[week * 7 + column - blanks] })),
  )
  return (
    <div>
      <table className={styles.month}>
        <caption>{name}</caption>
        <thead>
          <tr>
            {WEEK.map((weekday) => (
              <th key={weekday} scope="col" abbr={t(WEEKDAY_LABELS[weekday])}>
                {t(CALENDAR_WEEKDAY_LABELS[weekday])}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {weeks.map((week) => (
            <tr key={week.find(({ day }) => day)?.day?.date}>
              {week.map(({ weekday, day }) => (
                <td key={weekday}>{day && (day.state === 'open' ? day.date : <ClosedDay day={day} />)}</td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
      {formatClosedDays(t, days).map((line) => (
        <p key={line} className={styles.why}>
          {line}
        </p>
      ))}
    </div>
  )
}

function ClosedDay({ day: { date, state } }: { day: YearDay }) {
  const t = useTranslate()
  return (
    <s data-why={state === 'weekday' ? 'weekday' : 'named'}>
      {rich(t, 'setup.year.closed', {
        day: String(date),
        unseen: (text) => <span className="unseen">{text}</span>,
      })}
    </s>
  )
}
