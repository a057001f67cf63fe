import type { Metadata } from 'next'
import { pageVisitor } from '@/lib/access/guard'
import { scopeOf } from '@/lib/policy/principal'
import { AUDIT_KEY, auditEntries } from '@/lib/store/read/auditEntries'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { AuditReport } from './AuditReport'
import { auditFields, auditFilter } from './auditFilter'
import { olderThan } from './olderPages'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'Record of who did what' }

const PAGE_SIZE = 100

type Params = Promise<Record<string, string | string[] | undefined>>

export default async function AuditPage({ searchParams }: { searchParams: Params }) {
  const visitor = await pageVisitor('page /audit')
  const params = await searchParams
  const fields = auditFields((key) => [params[key]].flat()[0])
  const { filter, faults } = auditFilter(fields)
  const older = olderThan(params, AUDIT_KEY)
  const page = await auditEntries(sharedPool(), scopeOf(visitor), filter, older, PAGE_SIZE)
  return <AuditReport page={page} fields={fields} faults={faults} isOlder={older !== null} now={Date.now()} />
}
