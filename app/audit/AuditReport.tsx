import { useTranslate } from '#translate'
import filters from '@/app/ui/Filters.module.css'
import { Instant } from '@/app/ui/Instant'
import { SampleLink } from '@/app/ui/SampleLink'
import table from '@/app/ui/Table.module.css'
import { spellCount } from '@/app/ui/words/number'
import { isKitCode, toCanonical } from '@/lib/custody/kitCode'
import type { AuditEntry } from '@/lib/store/read/auditEntries'
import type { Page } from '@/lib/store/scope/pages'
import styles from './AuditReport.module.css'
import { type AuditFields, formatAuditQuery } from './auditFilter'
import { listDifferences } from './differences'
import { Pagination } from './Pagination'

/** The record of who did what: a search, its lines, and a way to take them along. */
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
  const { rows: entries, olderThan } = page
  return (
    <>
      <h1>Who did what</h1>
      <p className="prose">
        Every change and every refused attempt, who made it and from where. Nothing here can be changed or
        taken out. Refused attempts of one address, one person and one minute are told on one line with their
        number. Times and days are UTC.
      </p>
      <AuditSearch fields={fields} faults={faults} />
      {entries.length > 0 ? (
        <AuditTable entries={entries} now={now} />
      ) : (
        <p>
          {formatAuditQuery(fields) === '' && !isOlder
            ? 'Nothing has been recorded yet: the first change will stand here.'
            : 'Nothing on record fits this search.'}{' '}
          {(formatAuditQuery(fields) !== '' || isOlder) && <a href="/audit">Clear it</a>}
        </p>
      )}
      <Pagination newest={`/audit${formatAuditQuery(fields)}`} isOlder={isOlder} olderThan={olderThan} />
      {entries.length > 0 && (
        <p className="prose">
          <a href={`/api/audit${formatAuditQuery(fields)}`} download="record.csv">
            All lines of this search as CSV
          </a>
          . A cell that a spreadsheet would take for a formula begins there with an apostrophe.
        </p>
      )}
    </>
  )
}

const FIELDS = [
  ['who', 'Who', 'search', 'name, person, key or address'],
  ['what', 'Did what', 'search', 'a word of it'],
  ['subject', 'To what', 'search', 'kit, plant, protocol, person'],
  ['from', 'From', 'date', ''],
  ['until', 'Until', 'date', ''],
] as const

/** The search in the record, as a plain form. Days are those of UTC. */
function AuditSearch({ fields, faults }: { fields: AuditFields; faults: Partial<AuditFields> }) {
  const isSearched = formatAuditQuery(fields) !== ''
  return (
    <search className={styles.search}>
      <form action="/audit" className={filters.filters}>
        {FIELDS.map(([name, label, type, hint]) => (
          <label key={name}>
            <span>{label}</span>
            <input
              type={type}
              name={name}
              defaultValue={fields[name]}
              maxLength={type === 'search' ? 200 : undefined}
              placeholder={hint || undefined}
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
          <span>Outcome</span>
          <select name="outcome" defaultValue={fields.outcome}>
            <option value="">any</option>
            <option>done</option>
            <option>refused</option>
          </select>
        </label>
        <button type="submit">Find</button>
        {isSearched && <a href="/audit">Clear</a>}
      </form>
    </search>
  )
}

/** Lines of the record, newest first. Times are UTC. */
function AuditTable({ entries, now }: { entries: AuditEntry[]; now: number }) {
  const t = useTranslate()
  return (
    <div className={table.scroll}>
      <table className={`${table.table} ${table.stack} ${styles.record}`}>
        <caption>Newest first</caption>
        <thead>
          <tr>
            <th scope="col">When</th>
            <th scope="col">Who</th>
            <th scope="col">Did what</th>
            <th scope="col">To what</th>
            <th scope="col">What it changed</th>
          </tr>
        </thead>
        <tbody>
          {entries.map((entry) => (
            <tr key={entry.seq}>
              <td className="whole">
                <Instant at={entry.at} zone="UTC" now={now} />
                <span className={table.quiet}>no. {entry.seq}</span>
              </td>
              <td data-head="by">
                {entry.whoName || entry.who}
                <span className={table.quiet}>
                  {[
                    entry.whoName && entry.whoName !== entry.who && entry.who,
                    entry.address && `from ${entry.address}`,
                  ]
                    .filter(Boolean)
                    .join(', ')}
                </span>
              </td>
              <td>
                {entry.what}
                {entry.outcome === 'refused' && (
                  <b className={styles.refused}>
                    refused{entry.count > 1 && `, ${spellCount(t, entry.count, 'time')}`}
                  </b>
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
  return isKitCode(toCanonical(subject)) ? <SampleLink code={toCanonical(subject)} /> : subject
}

const MAX_SHOWN = 12

/** What a change changed: each value with what it was, struck through, and what it is. */
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
      {found.length > MAX_SHOWN && <li>and {found.length - MAX_SHOWN} more, all of them in the export</li>}
    </ul>
  )
}
