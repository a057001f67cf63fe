import { Readable } from 'node:stream'
import { auditExport } from '@/lib/access/auditExport'
import { scopeOf } from '@/lib/access/principal'
import { problem } from '@/lib/intake/problem'
import { problemReply } from '@/lib/intake/reply'
import { auditFields, auditFilter } from '../../auditFilter'
import { answering } from '../answering'
import { asked } from '../asked'

/** The record of who did what as CSV, as much of it as the search lets through. */
export const GET = answering(async (request: Request) => {
  const principal = await asked('GET /api/audit', request)
  if (principal instanceof Response) return principal
  const { searchParams } = new URL(request.url)
  const { filter, faults } = auditFilter(auditFields((key) => searchParams.get(key)))
  const detail = Object.values(faults).join(' ')
  if (detail) return problemReply(problem('filter', 400, 'Filter cannot be used', detail))
  const text = Readable.toWeb(Readable.from(auditExport(scopeOf(principal), filter), { objectMode: false }))
  return new Response(text as unknown as BodyInit, {
    headers: {
      'content-type': 'text/csv; charset=utf-8; header=present',
      'content-disposition': 'attachment; filename="record.csv"',
      'cache-control': 'no-store',
    },
  })
})
