import type { Principal } from '@/lib/policy/principal'
import { appendToAuditLog } from '@/lib/store/scope/audit'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { toActor } from './actor'

/** What a file holds that leaves the server, as the audit log tells it. */
export interface Download {
  /** In a few words that begin with "downloaded". */
  what: string
  /** The list or the plant that it is of; absent if the file holds all. */
  subject?: string
  /** How many entries. */
  rows: number
  /** The search that chose them, by field. */
  search?: Readonly<Record<string, string>>
}

/** Records who takes a file. Call it before the first byte is sent: without the line nothing leaves. */
export async function recordDownload(
  principal: Principal,
  request: Request,
  { what, subject, rows, search }: Download,
): Promise<void> {
  const line = { what, subject: subject ?? null, after: { rows, ...search } }
  await appendToAuditLog(getAppPool(), toActor(principal, request), [line], Date.now())
}
