import { Instant } from '@/app/ui/Instant'
import { SampleLink } from '@/app/ui/SampleLink'
import table from '@/app/ui/Table.module.css'
import { countOf } from '@/app/ui/words/numberWords'
import { canonical, isKitCode } from '@/lib/custody/kitCode'
import type { AuditEntry } from '@/lib/store/read/audit/auditEntries'
import styles from './AuditTable.module.css'
import { DifferenceList } from './DifferenceList'

/** Lines of the record, newest first. Times are UTC. */
export function AuditTable({ entries, now }: { entries: AuditEntry[]; now: number }) {
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
                    refused{entry.count > 1 && `, ${countOf(entry.count, 'time')}`}
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
  return isKitCode(canonical(subject)) ? <SampleLink code={canonical(subject)} /> : subject
}
