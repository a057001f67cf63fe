import type { Metadata } from 'next'
import { pageVisitor } from '@/lib/access/guard'
import { scopeOf } from '@/lib/access/principal'
import { auditEntries } from '@/lib/store'
import { auditFields, auditFilter } from '../auditFilter'
import { AuditReport } from '../ui/AuditReport'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'Record of who did what' }

const MOST_SHOWN = 100

type Params = Promise<Record<string, string | string[] | undefined>>

export default async function AuditPage({ searchParams }: { searchParams: Params }) {
  const visitor = await pageVisitor('page /audit')
  const params = await searchParams
  const value = (key: string) => [params[key]].flat()[0]
  const fields = auditFields(value)
  const { filter, faults } = auditFilter(fields)
  const olderThan = /^\d{1,18}$/.test(value('older') ?? '') ? (value('older') as string) : null
  const page = await auditEntries(scopeOf(visitor), filter, olderThan, MOST_SHOWN)
  return (
    <AuditReport page={page} fields={fields} faults={faults} isOlder={olderThan !== null} now={Date.now()} />
  )
}
