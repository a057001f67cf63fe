import type pg from 'pg'
import { z } from 'zod'
import { setAppMetadata } from '../scope/appMetadata'
import { withScope } from '../scope/scope'
import { command, statement } from '../scope/statement'

const NAME = 'sign-in mail failed'

const FAILED = statement(
  z.object({ at: z.number() }),
  `select value::float8 as at from app_metadata where name = '${NAME}'`,
)
const FORGET = command(`delete from app_metadata where name = '${NAME}'`)

/**
 * Records whether a sign-in mail was sent: it is not queued, so nothing else tells. `failedAt` in ms UTC; null if it was
 * sent.
 */
export async function recordSignInMail(appPool: pg.Pool, failedAt: number | null): Promise<void> {
  await withScope(appPool, 'all', async (client) => {
    if (failedAt === null) await FORGET.run(client)
    else await setAppMetadata(client, NAME, failedAt)
  })
}

/** When the last sign-in mail could not be sent, ms UTC; null if it was sent, or there was none. */
export async function readSignInMailFailedAt(appPool: pg.Pool): Promise<number | null> {
  return (await withScope(appPool, 'all', (client) => FAILED.first(client)))?.at ?? null
}
