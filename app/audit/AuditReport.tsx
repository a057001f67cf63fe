import type { AuditEntry } from '@/lib/store/read/audit/auditEntries'
import type { Page } from '@/lib/store/scope/pages'
import { AuditSearch } from './AuditSearch'
import { AuditTable } from './AuditTable'
import { type AuditFields, auditAddress } from './auditFilter'
import { Pages } from './Pages'

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
          {auditAddress(fields) === '' && !isOlder
            ? 'Nothing has been recorded yet: the first change will stand here.'
            : 'Nothing on record fits this search.'}{' '}
          {(auditAddress(fields) !== '' || isOlder) && <a href="/audit">Clear it</a>}
        </p>
      )}
      <Pages newest={`/audit${auditAddress(fields)}`} isOlder={isOlder} olderThan={olderThan} />
      {entries.length > 0 && (
        <p className="prose">
          <a href={`/api/audit${auditAddress(fields)}`} download="record.csv">
            All lines of this search as CSV
          </a>
          . A cell that a spreadsheet would take for a formula begins there with an apostrophe.
        </p>
      )}
    </>
  )
}
