import { useTranslate } from '#translate'
import { rich } from '@/app/ui/language/rich'
import table from '@/app/ui/Table.module.css'
import { CountOrWithheld, TurnaroundTable } from '@/app/ui/TurnaroundTable'
import { formatLongInstant } from '@/app/ui/words/instant'
import type { MessageKey } from '@/lib/messages/message'
import type { Translate } from '@/lib/messages/translate'
import type { Figures } from '@/lib/store/read/figures/figures'
import type { PooledTurnaround } from '@/lib/store/read/figures/turnaround'

/** The programme over all plants, with none named. */
export function FiguresReport({ figures, times }: { figures: Figures; times: PooledTurnaround }) {
  const t = useTranslate()
  const { asOf, open, months } = figures
  return (
    <>
      <h1>{t('figures.heading')}</h1>
      <p className="prose">
        {rich(t, 'figures.about', {
          time: (
            <time dateTime={new Date(asOf).toISOString()}>{formatLongInstant(t, asOf, 'UTC', asOf)}</time>
          ),
        })}
      </p>
      <h2>{t('figures.open.heading')}</h2>
      <table className={`${table.table} ${table.narrow}`}>
        <caption>
          {open.total === null
            ? t('figures.open.totalWithheld')
            : t('figures.open.total', { total: open.total })}
        </caption>
        <thead>
          <tr>
            <th scope="col">{t('figures.open.standing')}</th>
            <th scope="col" className={table.number}>
              {t('figures.open.samples')}
            </th>
          </tr>
        </thead>
        <tbody>
          {open.figures.map(({ name, count }) => (
            <tr key={name}>
              <th scope="row">{t(FIGURE_NAMES[name])}</th>
              <td className={table.number}>
                <CountOrWithheld count={count} />
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <h2>{t('figures.months.heading')}</h2>
      {months.length > 0 ? <MonthTable months={months} /> : <p>{t('figures.months.none')}</p>}
      <h2>{t('figures.stages.heading')}</h2>
      <TurnaroundTable times={times} />
    </>
  )
}

function MonthTable({ months }: { months: Figures['months'] }) {
  const t = useTranslate()
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reachable by keys.
    <section className={table.scroll} aria-label={t('figures.months.label')} tabIndex={0}>
      <table className={table.table}>
        <caption>{t('figures.months.caption')}</caption>
        <thead>
          <tr>
            <th scope="col">{t('figures.months.month')}</th>
            {months[0]?.settled.figures.map(({ name }) => (
              <th key={name} scope="col" className={table.number}>
                {t(FIGURE_NAMES[name])}
              </th>
            ))}
            <th scope="col" className={table.number}>
              {t('figures.months.shareKept')}
            </th>
          </tr>
        </thead>
        <tbody>
          {months.map(({ month, settled }) => (
            <tr key={month}>
              <th scope="row" className="whole">
                {formatMonth(t, month)}
              </th>
              {settled.figures.map(({ name, count }) => (
                <td key={name} className={table.number}>
                  <CountOrWithheld count={count} />
                </td>
              ))}
              <td className={table.number}>
                {formatShareKept(t, settled) ?? <CountOrWithheld count={null} />}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}

/** "November 2026" for "2026-11". */
function formatMonth(t: Translate, month: string): string {
  return t.date(Date.parse(`${month}-01T00:00:00Z`), 'UTC', 'monthYear')
}

/**
 * The share kept of those kept or lapsed, cut down to a whole percentage so that only all of them are 100 %; null
 * where one of the three counts is withheld, empty where there is none.
 */
function formatShareKept(t: Translate, { figures }: Figures['months'][number]['settled']): string | null {
  const count = (name: string) => figures.find((one) => one.name === name)?.count ?? null
  const [kept, extended, lapsed] = [count('kept'), count('kept by extension'), count('lapsed')]
  if (kept === null || extended === null || lapsed === null) return null
  if (kept + extended + lapsed === 0) return ''
  const percent = Math.floor((100 * (kept + extended)) / (kept + extended + lapsed))
  return t('chance.percent', { percent })
}

type FigureName =
  | Figures['open']['figures'][number]['name']
  | Figures['months'][number]['settled']['figures'][number]['name']

const FIGURE_NAMES = {
  sound: 'standing.name.sound',
  tight: 'standing.name.tight',
  'at risk': 'standing.name.atRisk',
  lapsed: 'standing.name.lapsed',
  kept: 'standing.name.kept',
  'kept by extension': 'figures.name.keptByExtension',
  ended: 'standing.name.ended',
  unproven: 'standing.name.unproven',
} as const satisfies Record<FigureName, MessageKey>
