import type pg from 'pg'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { inScope } from '../scope/scope'
import { entriesNow, listsOf } from './registerEntries'

/** The whole register as it stands: the document that would be sent to set it so. */
export async function registerNow(pool: pg.Pool): Promise<RegisterDocument> {
  return inScope(pool, 'all', async (client) => {
    const entries = await entriesNow(client)
    return listsOf(entries.values()) as RegisterDocument
  })
}
