import filters from '@/app/ui/BoardFilters.module.css'
import styles from './AuditSearch.module.css'
import { type AuditFields, auditAddress } from './auditFilter'

const FIELDS = [
  ['who', 'Who', 'search', 'name, person, key or address'],
  ['what', 'Did what', 'search', 'a word of it'],
  ['subject', 'To what', 'search', 'kit, plant, protocol, person'],
  ['from', 'From', 'date', ''],
  ['until', 'Until', 'date', ''],
] as const

/** The search in the record, as a plain form. Days are those of UTC. */
export function AuditSearch({ fields, faults }: { fields: AuditFields; faults: Partial<AuditFields> }) {
  const isSearched = auditAddress(fields) !== ''
  return (
    <search className={styles.place}>
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
