import type { Metadata } from 'next'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { requireUser } from '@/lib/access/guard'
import { getScope } from '@/lib/policy/principal'
import { AUDIT_CURSOR, listAuditEntries } from '@/lib/store/read/auditEntries'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { AuditReport } from './AuditReport'
import { parseAuditFields, parseAuditFilter } from './auditFilter'
import { parseOlderThan } from './pageUrls'

export const dynamic = 'force-dynamic'
export async function generateMetadata(): Promise<Metadata> {
  const t = await getTranslate()
  return { title: t('audit.title') }
}

const PAGE_SIZE = 100

type Params = Promise<Record<string, string | string[] | undefined>>

export default async function AuditPage({ searchParams }: { searchParams: Params }) {
  const t = await getTranslate()
  const user = await requireUser('page /audit')
  const params = await searchParams
  const fields = parseAuditFields((key) => [params[key]].flat()[0])
  const { filter, faults } = parseAuditFilter(t, fields)
  const older = parseOlderThan(params, AUDIT_CURSOR)
  const page = await listAuditEntries(getAppPool(), getScope(user), filter, older, PAGE_SIZE)
  return <AuditReport page={page} fields={fields} faults={faults} isOlder={older !== null} now={Date.now()} />
}
