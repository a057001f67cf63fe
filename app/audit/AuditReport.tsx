import { useTranslate } from '#translate'
import filters from '@/app/ui/Filters.module.css'
import { Instant } from '@/app/ui/Instant'
import { rich } from '@/app/ui/language/rich'
import { SampleLink } from '@/app/ui/SampleLink'
import table from '@/app/ui/Table.module.css'
import { isKitCode, toCanonical } from '@/lib/custody/kitCode'
import { nameBidiControls } from '@/lib/messages/bidiControls'
import type { AuditEntry } from '@/lib/store/read/auditEntries'
import type { Page } from '@/lib/store/scope/pages'
import styles from './AuditReport.module.css'
import { type AuditFields, formatAuditQuery } from './auditFilter'
import { listDifferences } from './differences'
import { Pagination } from './Pagination'

/** The audit log: a search, one page of entries, and a link to the export. `now` in ms UTC. */
export function AuditReport({
  page,
  fields,
  faults,
  isOlder,
  now,
}: {
  page: Page<AuditEntry>
  fields: AuditFields
  faults: Partial<AuditFields>
  isOlder: boolean
  now: number
}) {
  const t = useTranslate()
  const { rows: entries, olderThan } = page
  const query = formatAuditQuery(fields)
  return (
    <>
      <h1>{t('audit.title')}</h1>
      <p className="prose">{t('audit.intro')}</p>
      <AuditSearch fields={fields} faults={faults} />
      {entries.length > 0 ? (
        <AuditTable entries={entries} now={now} />
      ) : (
        <p>
          {query === '' && !isOlder
            ? t('audit.empty')
            : rich(t, 'audit.noMatch', { clear: (text) => <a href="/audit">{text}</a> })}
        </p>
      )}
      <Pagination newest={`/audit${query}`} isOlder={isOlder} olderThan={olderThan} />
      {entries.length > 0 && (
        <p className="prose">
          {rich(t, 'audit.export', {
            link: (text) => (
              <a href={`/api/audit${query}`} download="record.csv">
                {text}
              </a>
            ),
          })}
        </p>
      )}
    </>
  )
}

const FIELDS = [
  { name: 'who', label: 'audit.search.who', hint: 'audit.search.whoHint' },
  { name: 'what', label: 'audit.search.what', hint: 'audit.search.whatHint' },
  { name: 'subject', label: 'audit.search.subject', hint: 'audit.search.subjectHint' },
  { name: 'from', label: 'audit.search.from', hint: null },
  { name: 'until', label: 'audit.search.until', hint: null },
] as const

function AuditSearch({ fields, faults }: { fields: AuditFields; faults: Partial<AuditFields> }) {
  const t = useTranslate()
  const isSearched = formatAuditQuery(fields) !== ''
  return (
    <search className={styles.search}>
      <form action="/audit" className={filters.filters}>
        {FIELDS.map(({ name, label, hint }) => (
          <label key={name}>
            <span>{t(label)}</span>
            <input
              type={hint ? 'search' : 'date'}
              name={name}
              defaultValue={fields[name]}
              maxLength={hint ? 200 : undefined}
              placeholder={hint ? t(hint) : undefined}
              aria-invalid={faults[name] !== undefined}
              aria-describedby={faults[name] ? `fault-${name}` : undefined}
            />
            {faults[name] && (
              <span className={styles.fault} id={`fault-${name}`}>
                {faults[name]}
              </span>
            )}
          </label>
        ))}
        <label>
          <span>{t('audit.search.outcome')}</span>
          <select name="outcome" defaultValue={fields.outcome}>
            <option value="">{t('audit.search.any')}</option>
            <option value="done">{t('audit.search.done')}</option>
            <option value="refused">{t('audit.search.refused')}</option>
          </select>
        </label>
        <button type="submit">{t('audit.search.submit')}</button>
        {isSearched && <a href="/audit">{t('audit.search.clear')}</a>}
      </form>
    </search>
  )
}

/** Entries, newest first. What someone did is shown as it was recorded, in English. Times are UTC; `now` in ms UTC. */
function AuditTable({ entries, now }: { entries: AuditEntry[]; now: number }) {
  const t = useTranslate()
  return (
    <div className={table.scroll}>
      <table className={`${table.table} ${table.stack} ${styles.record}`}>
        <caption>{t('audit.table.caption')}</caption>
        <thead>
          <tr>
            <th scope="col">{t('audit.table.when')}</th>
            <th scope="col">{t('audit.table.who')}</th>
            <th scope="col">{t('audit.table.what')}</th>
            <th scope="col">{t('audit.table.subject')}</th>
            <th scope="col">{t('audit.table.change')}</th>
          </tr>
        </thead>
        <tbody>
          {entries.map((entry) => (
            <tr key={entry.seq}>
              <td className="whole">
                <Instant at={entry.at} zone="UTC" now={now} />
                <span className={table.quiet}>{t('audit.entry.number', { number: entry.seq })}</span>
              </td>
              <td data-head={t('audit.table.by')}>
                {entry.whoName || entry.who}
                {entry.whoName && entry.whoName !== entry.who && (
                  <span className={table.quiet}>{entry.who}</span>
                )}
                {entry.address && (
                  <span className={table.quiet}>{t('audit.entry.address', { address: entry.address })}</span>
                )}
              </td>
              <td>
                {entry.what}
                {entry.outcome === 'refused' && (
                  <b className={styles.refused}>{t('audit.entry.refused', { count: entry.count })}</b>
                )}
              </td>
              <td>
                <Subject subject={entry.subject} />
              </td>
              <td>
                <DifferenceList before={entry.before} after={entry.after} />
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  )
}

function Subject({ subject }: { subject: string | null }) {
  if (subject === null) return null
  return isKitCode(toCanonical(subject)) ? (
    <SampleLink code={toCanonical(subject)} />
  ) : (
    nameBidiControls(subject)
  )
}

const MAX_SHOWN = 12

/** Each value that changed: the old one struck through, then the new one. */
function DifferenceList({ before, after }: { before: unknown; after: unknown }) {
  const t = useTranslate()
  const found = listDifferences(t, before, after)
  if (found.length === 0) return null
  return (
    <ul className={styles.list}>
      {found.slice(0, MAX_SHOWN).map(({ place, before: was, after: is }) => (
        <li key={place}>
          {place && <span className={styles.place}>{place}: </span>}
          {was !== null && <del>{was}</del>}
          {was !== null && is !== null && ' '}
          {is !== null && <ins>{is}</ins>}
        </li>
      ))}
      {found.length > MAX_SHOWN && <li>{t('audit.entry.more', { count: found.length - MAX_SHOWN })}</li>}
    </ul>
  )
}
