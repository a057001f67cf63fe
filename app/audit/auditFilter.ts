import { DAY } from '@/lib/hold/zone'
import type { Translate } from '@/lib/messages/translate'
import type { AuditFilter } from '@/lib/store/read/auditEntries'

/** The search fields of the audit log, as its URL holds them. Days are UTC; the last one is included. */
export interface AuditFields {
  who: string
  what: string
  subject: string
  from: string
  until: string
  outcome: string
}

const MAX_LENGTH = 200

/** Reads the fields from a URL or a form; a missing one is empty. */
export function parseAuditFields(value: (key: string) => string | null | undefined): AuditFields {
  const field = (key: keyof AuditFields) => (value(key) ?? '').trim().slice(0, MAX_LENGTH)
  return {
    who: field('who'),
    what: field('what'),
    subject: field('subject'),
    from: field('from'),
    until: field('until'),
    outcome: field('outcome'),
  }
}

/** Turns the fields into a filter, with a sentence for each field that cannot be used. */
export function parseAuditFilter(
  t: Translate,
  fields: AuditFields,
): { filter: AuditFilter; faults: Partial<AuditFields> } {
  const faults: Partial<AuditFields> = {}
  const day = (key: 'from' | 'until'): number | undefined => {
    if (fields[key] === '') return undefined
    const at = Date.parse(`${fields[key]}T00:00:00Z`)
    const isDate = /^\d{4}-\d{2}-\d{2}$/.test(fields[key]) && !Number.isNaN(at)
    if (isDate && new Date(at).toISOString().startsWith(fields[key])) return at
    faults[key] = t('audit.fault.day')
    return undefined
  }
  const fromAt = day('from')
  const lastAt = day('until')
  if (fields.outcome !== '' && !isOutcome(fields.outcome)) faults.outcome = t('audit.fault.outcome')
  if (fromAt !== undefined && lastAt !== undefined && lastAt < fromAt) faults.until = t('audit.fault.order')
  return {
    filter: {
      who: fields.who || undefined,
      what: fields.what || undefined,
      subject: fields.subject || undefined,
      fromAt,
      untilAt: lastAt === undefined ? undefined : lastAt + DAY,
      outcome: isOutcome(fields.outcome) ? fields.outcome : undefined,
    },
    faults,
  }
}

const isOutcome = (text: string): text is 'done' | 'refused' => text === 'done' || text === 'refused'

/** The query string that holds the fields; empty if no field is filled in. */
export function formatAuditQuery(fields: AuditFields): string {
  const params = new URLSearchParams(Object.entries(fields).filter(([, value]) => value !== ''))
  return params.size > 0 ? `?${params}` : ''
}
