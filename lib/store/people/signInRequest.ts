import { createHash, createHmac, randomBytes, randomInt, timingSafeEqual } from 'node:crypto'
import type pg from 'pg'
import { normalizeEmail } from '@/lib/policy/email'
import type { Prisma } from '../prisma/client'
import { getPrisma, type Transaction, transact } from '../scope/prisma'

/** How long a mailed link and its code work. */
export const REQUEST_MINUTES = 15

/** Wrong codes allowed per request. */
export const CODE_TRIES = 5

/**
 * Mails that may be requested within the time a link works, for one address and from one source. Beyond those of a source,
 * an address that got none still gets one, without a code. So whoever gets no further mail has got a link that still
 * works, whatever others asked for; and codes, which are short enough to guess, are not to be had without limit.
 */
export const MAX_REQUESTS = { address: 5, source: 20 }

const WINDOW_MS = REQUEST_MINUTES * 60_000
const RETENTION_MS = 3_600_000
const CODE_DIGITS = 8

/** The pool of people's tables, and the key of the digests. */
export interface SignInContext {
  authPool: pg.Pool
  secret: string
}

/** A new link and code. */
export interface NewSignInRequest {
  /** Known only to the browser that asked. */
  id: string
  /** The secret in the link. */
  token: string
  /** Null for a mail beyond those of its source. */
  code: string | null
  /** The recipient; null if nobody who may sign in has the address. */
  person: { id: string; email: string; name: string } | null
}

/** A new request, or the seconds to wait until a further mail may be sent. */
export type RequestResult = NewSignInRequest | { waitSeconds: number }

/**
 * Makes a link and a code for an address, also for an unknown one, so that both look alike. `source` is the client's
 * network address, `wanted` the local path to go to afterwards, `now` in ms UTC.
 */
export async function requestLink(
  { authPool, secret }: SignInContext,
  request: { email: string; source: string; wanted: string | null },
  now: number,
): Promise<RequestResult> {
  const email = normalizeEmail(request.email)
  const { source, wanted } = request
  const address = hashKeyed(secret, 'address', email)
  // Judged before the lock as well, so that refused requests do not delay sign-ins.
  const early = await judgeRequest(getPrisma(authPool), { address, source }, now)
  if (early.waitSeconds > 0) return { waitSeconds: early.waitSeconds }
  return transact(authPool, async (db) => {
    // Locks address and source, so that concurrent requests count each other.
    await db.$executeRaw`select pg_advisory_xact_lock(hashtextextended(${address.toString('hex')}, 4)),
      pg_advisory_xact_lock(hashtextextended(${source}, 5))`
    await db.signInRequest.deleteMany({ where: { askedAt: { lt: new Date(now - RETENTION_MS) } } })
    const { waitSeconds, hasCode } = await judgeRequest(db, { address, source }, now)
    if (waitSeconds > 0) return { waitSeconds }
    const person = await db.person.findFirst({
      where: { email, leftAt: null },
      select: { id: true, email: true, name: true },
    })
    return insertRequest(db, secret, { address, source, wanted, person, hasCode }, now)
  })
}

/** Makes a link for a person, requested on the machine itself. `now` in ms UTC. */
export async function createLink(
  { authPool, secret }: SignInContext,
  person: { id: string; email: string; name: string },
  now: number,
): Promise<NewSignInRequest> {
  const address = hashKeyed(secret, 'address', person.email)
  const request = { address, source: 'command', wanted: null, person, hasCode: true }
  return insertRequest(getPrisma(authPool), secret, request, now)
}

/** The person that a link or code signs in, and the local path they wanted. */
export interface Admission {
  personId: string
  wanted: string | null
}

/** Consumes a link. Null if it was used, is too old, or is unknown. `now` in ms UTC. */
export async function consumeLink(
  { authPool }: SignInContext,
  token: string,
  now: number,
): Promise<Admission | null> {
  return consumeRequest(getPrisma(authPool), { linkDigest: hashLink(token) }, now)
}

/**
 * Tries a code on this browser's request, and consumes the request if the code is right. A wrong code returns the tries
 * left; null if the request was used, is too old, has no tries left, or is unknown. `now` in ms UTC.
 */
export async function tryCode(
  { authPool, secret }: SignInContext,
  tried: { id: string; code: string; source: string },
  now: number,
): Promise<Admission | { triesLeft: number } | null> {
  const digest = hashKeyed(secret, tried.id, tried.code.replace(/\D/g, ''))
  return transact(authPool, async (db, audit) => {
    // Counted before the code is compared, so that concurrent guesses cannot exceed the limit.
    const [row] = await db.signInRequest.updateManyAndReturn({
      where: { id: tried.id, triesLeft: { gt: 0 }, ...whereUnused(now) },
      data: { triesLeft: { decrement: 1 } },
      select: { personId: true, triesLeft: true, codeDigest: true },
    })
    if (!row) return null
    if (timingSafeEqual(row.codeDigest, digest)) {
      const admitted = await consumeRequest(db, { id: tried.id }, now)
      if (admitted) return admitted
    }
    const nobody = { who: 'nobody', name: '', address: tried.source || null }
    audit(nobody, now, {
      what: 'signed in',
      subject: row.personId,
      after: { by: 'code' },
      outcome: 'refused',
    })
    return { triesLeft: row.triesLeft }
  })
}

const whereUnused = (now: number) => ({ usedAt: null, expiresAt: { gt: new Date(now) } })

/** Consumes a request of a known person in one statement, so that of several concurrent calls only one succeeds. */
async function consumeRequest(
  db: Transaction,
  which: Prisma.SignInRequestWhereInput,
  now: number,
): Promise<Admission | null> {
  const [row] = await db.signInRequest.updateManyAndReturn({
    where: { ...which, ...whereUnused(now), personId: { not: null } },
    data: { usedAt: new Date(now) },
    select: { personId: true, wanted: true },
  })
  return row?.personId ? { personId: row.personId, wanted: row.wanted } : null
}

/**
 * Whether a further mail may be sent: the seconds to wait, 0 for none, and whether it has a code. A link that was used
 * counts as well, so that the answer tells nobody that it was.
 */
async function judgeRequest(
  db: Transaction,
  { address, source }: { address: Buffer<ArrayBuffer>; source: string },
  now: number,
): Promise<{ waitSeconds: number; hasCode: boolean }> {
  const hasCode = (await getWaitSeconds(db, { source }, MAX_REQUESTS.source, now)) === 0
  const most = hasCode ? MAX_REQUESTS.address : 1
  return { waitSeconds: await getWaitSeconds(db, { addressDigest: address }, most, now), hasCode }
}

/** Seconds until fewer than `most` such requests lie within the window; 0 if fewer do now. */
async function getWaitSeconds(
  db: Transaction,
  which: Prisma.SignInRequestWhereInput,
  most: number,
  now: number,
): Promise<number> {
  const last = await db.signInRequest.findFirst({
    where: { ...which, askedAt: { gt: new Date(now - WINDOW_MS) } },
    orderBy: { askedAt: 'desc' },
    skip: most - 1,
    select: { askedAt: true },
  })
  return last ? Math.max(1, Math.ceil((last.askedAt.getTime() + WINDOW_MS - now) / 1000)) : 0
}

async function insertRequest(
  db: Transaction,
  secret: string,
  request: {
    address: Buffer<ArrayBuffer>
    source: string
    wanted: string | null
    person: NewSignInRequest['person']
    hasCode: boolean
  },
  now: number,
): Promise<NewSignInRequest> {
  const [id, token] = [randomBytes(24).toString('base64url'), randomBytes(32).toString('base64url')]
  const code = String(randomInt(10 ** CODE_DIGITS)).padStart(CODE_DIGITS, '0')
  const { address, source, wanted, person, hasCode } = request
  await db.signInRequest.createMany({
    data: {
      id,
      personId: person?.id,
      addressDigest: address,
      source,
      linkDigest: hashLink(token),
      codeDigest: hashKeyed(secret, id, code),
      triesLeft: hasCode ? CODE_TRIES : 0,
      wanted,
      askedAt: new Date(now),
      expiresAt: new Date(now + REQUEST_MINUTES * 60_000),
    },
  })
  return { id, token, code: hasCode ? code : null, person }
}

function hashLink(token: string): Buffer<ArrayBuffer> {
  return Buffer.from(createHash('sha256').update(token).digest())
}

/** Keyed digest: short values could otherwise be found by trying them all. */
function hashKeyed(secret: string, what: string, text: string): Buffer<ArrayBuffer> {
  return Buffer.from(createHmac('sha256', secret).update(`${what}\n${text}`).digest())
}
