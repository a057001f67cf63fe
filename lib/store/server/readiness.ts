import { readBackupStatus } from '../backup/backupStatus'
import { getEnvironment } from '../environment'
import { readSignInMailFailedAt } from '../mail/signInMailFault'
import { readMigrations } from '../migrate/migrationFiles'
import { isDemoDatabase } from '../people/demoPeople'
import { askDatabase, getAppPool, getAuthPool, getProbePool } from '../scope/sharedPool'
import { type DatabaseFault, findDatabaseFault } from '../scope/unavailable'
import { type Check, judgeServer, type ServerFacts } from './checks'
import { readDiskRoom } from './diskRoom'
import { readMailFacts } from './mailFacts'
import { type ProbeResult, probeDatabase } from './probe'

export interface Readiness {
  isReady: boolean
  checks: readonly Check[]
  facts: ServerFacts
  /** When it was found out, ms UTC. */
  at: number
}

/** A readiness is told again for so long, so that asking often does not load the database, ms. */
const KEPT_MS = 2_000
/**
 * A write that succeeded is believed for so long, ms, as long as the database answers; one that failed is tried again with
 * the next readiness.
 */
const WRITE_KEPT_MS = 10_000
/** What is only warned of is read as often, ms: the counts of all mails take a while. */
const FACTS_KEPT_MS = 30_000
/** A part that takes longer than this counts as unknown, and the database as unreachable, ms. */
const TIMEOUT_MS = 5_000

type Facts = Pick<ServerFacts, 'mails' | 'backup' | 'signInMailFailedAt' | 'isDemo'>
interface Known {
  running?: Promise<Readiness>
  last?: Readiness
  probe?: { result: ProbeResult; at: number }
  facts?: { found: Facts; at: number }
}

const shared = globalThis as typeof globalThis & { holdfastReadiness?: Known }
const startedAt = Date.now() - process.uptime() * 1000

/**
 * Whether this process can serve, by what it finds when asked; at most once every two seconds, and once for all who ask
 * at the same time. Never throws.
 */
export async function getReadiness(): Promise<Readiness> {
  shared.holdfastReadiness ??= {}
  const known = shared.holdfastReadiness
  if (known.last && Date.now() - known.last.at < KEPT_MS) return known.last
  known.running ??= findReadiness(known).finally(() => {
    known.running = undefined
  })
  return known.running
}

async function findReadiness(known: Known): Promise<Readiness> {
  const { dataDir, smtpUrl } = getEnvironment()
  const probe = await getProbe(known)
  const found = probe.fault === null && probe.hasOurMigrations ? await getFacts(known) : NOTHING
  const facts: ServerFacts = {
    ...found,
    probe,
    startedAt,
    disk: await readDiskRoom(dataDir),
    hasMailServer: smtpUrl !== undefined,
  }
  const at = Date.now()
  const checks = judgeServer(facts, at)
  known.last = { isReady: checks.every(({ state }) => state !== 'failed'), checks, facts, at }
  return known.last
}

const UNREACHABLE: ProbeResult = { fault: 'unreachable', hasOurMigrations: null }

async function getProbe(known: Known): Promise<ProbeResult> {
  const { probe } = known
  const isGood = probe?.result.fault === null && probe.result.hasOurMigrations
  if (probe && isGood && Date.now() - probe.at < WRITE_KEPT_MS) {
    const fault = await withTimeout<DatabaseFault | null>(findFault(), 'unreachable')
    if (fault === null) return probe.result
    known.probe = undefined
    return { fault, hasOurMigrations: null }
  }
  const result = await withTimeout(
    probeDatabase(getProbePool(), readMigrations('prisma/migrations')),
    UNREACHABLE,
  )
  known.probe = { result, at: Date.now() }
  return result
}

async function findFault(): Promise<DatabaseFault | null> {
  try {
    await askDatabase()
    return null
  } catch (error) {
    return findDatabaseFault(error) ?? 'unreachable'
  }
}

const NOTHING: Facts = { mails: null, backup: null, signInMailFailedAt: null, isDemo: false }

async function getFacts(known: Known): Promise<Facts> {
  if (known.facts && Date.now() - known.facts.at < FACTS_KEPT_MS) return known.facts.found
  const found = await withTimeout(readFacts(), NOTHING)
  if (found !== NOTHING) known.facts = { found, at: Date.now() }
  return found
}

async function readFacts(): Promise<Facts> {
  const [mails, backup, signInMailFailedAt, isDemo] = await Promise.all([
    readMailFacts(getAuthPool(), Date.now()),
    readBackupStatus(getAppPool()),
    readSignInMailFailedAt(getAppPool()),
    isDemoDatabase(getAppPool()),
  ])
  return { mails, backup, signInMailFailedAt, isDemo }
}

/** What `work` finds; `otherwise` if it fails or takes too long. */
async function withTimeout<T>(work: Promise<T>, otherwise: T): Promise<T> {
  let timer: NodeJS.Timeout | undefined
  const timeout = new Promise<T>((resolve) => {
    timer = setTimeout(() => resolve(otherwise), TIMEOUT_MS)
  })
  const result = await Promise.race([work.catch(() => otherwise), timeout])
  clearTimeout(timer)
  return result
}
