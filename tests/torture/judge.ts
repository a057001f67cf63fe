import type pg from 'pg'
import { deriveDueSamples } from '@/lib/store/projection/deriveDue'
import { rebuild } from '@/lib/store/projection/rebuild'
import { derivedText } from '@/tests/cases/derivedText'
import type { SentEvent, SentRecord } from './sentRecord'

/** What the judge counts; every one of them has to be 0. */
export const FAULTS = {
  lost: 'acknowledged events that the ledger lacks',
  doubled: 'events that the ledger has more than once',
  unsent: 'events of the ledger that nobody sent',
  altered: 'events of which the ledger has another content than was sent',
  differed: 'derived rows that a rebuild derives otherwise',
  unaudited: 'events accepted that the audit log does not count, or counts and the ledger lacks',
  mailed: 'mails beyond the first to one person for one occasion',
  left: 'processes left running',
  wrong: 'wrong answers: a 5xx other than 503, a valid event refused, no answer when all is over',
} as const

export type Fault = keyof typeof FAULTS

export interface Verdict {
  sent: number
  acknowledged: number
  counts: Record<Fault, number>
  /** Some of what was found, for a person to look up. */
  examples: string[]
}

const MAX_EXAMPLES = 5

/** The pools of the programme to judge: its owner's, and one as `holdfast_app`. */
export interface JudgedDatabase {
  owner: pg.Pool
  app: pg.Pool
}

/**
 * Holds the database of a programme against what was sent to it. Nothing else may write to it meanwhile.
 * @param now ms UTC; rows are derived as of this instant, then rebuilt as of the same.
 * @param left what the caller found still running
 */
export async function judge(
  database: JudgedDatabase,
  record: SentRecord,
  left: readonly string[],
  now: number,
): Promise<Verdict> {
  const stored = await readLedger(database.owner)
  const counts = new Map<string, number>()
  for (const { key } of stored) counts.set(key, (counts.get(key) ?? 0) + 1)
  const found: Record<Fault, string[]> = {
    lost: [...record.acknowledged].filter((key) => !counts.has(key)),
    doubled: [...counts].flatMap(([key, count]) => Array<string>(count - 1).fill(key)),
    unsent: stored.filter(({ key }) => !record.sent.has(key)).map(({ key }) => key),
    altered: stored
      .filter(({ key, content }) => content !== describeContent(record.sent.get(key), content))
      .map(({ key }) => key),
    differed: await findDifferingRows(database, now),
    unaudited: await findUnaudited(database.owner),
    mailed: findSecondMails(record),
    left: [...left],
    wrong: record.wrongAnswers.splice(0),
  }
  const faults = Object.entries(found) as [Fault, string[]][]
  return {
    sent: record.sent.size,
    acknowledged: record.acknowledged.size,
    counts: Object.fromEntries(faults.map(([fault, cases]) => [fault, cases.length])) as Verdict['counts'],
    examples: faults.flatMap(([fault, cases]) =>
      cases.slice(0, MAX_EXAMPLES).map((one) => `${fault}: ${one}`),
    ),
  }
}

/** The fields of an event that are stored as they were sent. */
const PLAIN = ['sample', 'kind', 'at', 'place', 'service', 'waybill', 'corrects'] as const
type Plain = Partial<Record<(typeof PLAIN)[number], string | null>>

interface StoredEvent extends Plain {
  source: string
  id: string
}

async function readLedger(owner: pg.Pool): Promise<{ key: string; content: string }[]> {
  const { rows } = await owner.query<StoredEvent>(`select source, id, ${PLAIN.join(', ')} from event`)
  return rows.map((row) => ({ key: `${row.source}/${row.id}`, content: serialize(row) }))
}

const serialize = (event: Plain) => JSON.stringify(PLAIN.map((field) => event[field] ?? null))

/** The content that was sent; `stored` where nobody sent it, or where it is not to be compared. */
function describeContent(sent: SentEvent | null | undefined, stored: string): string {
  return sent ? serialize(sent) : stored
}

/** Derives what has become due, then rebuilds, and names the rows of which the text changed. */
async function findDifferingRows({ owner, app }: JudgedDatabase, now: number): Promise<string[]> {
  await deriveDueSamples(app, now)
  const before = await derivedText(owner)
  await rebuild(app, now)
  const after = new Set(await derivedText(owner))
  const [known, gone] = [new Set(before), before.filter((row) => !after.has(row))]
  const fresh = [...after].filter((row) => !known.has(row))
  return (gone.length >= fresh.length ? gone : fresh).map((row) => row.slice(0, 60))
}

/** Each accepted body wrote one line in the transaction of its events, which counts them. */
async function findUnaudited(owner: pg.Pool): Promise<string[]> {
  const { rows } = await owner.query<{ by: string; events: number; audited: number }>(
    `with ledger as (select reported_by as by, count(*)::int as events from event group by 1),
       log as (select who as by, sum((after ->> 'accepted')::int)::int as audited from audit_entry
               where what = 'reported events' and outcome = 'done' group by 1)
     select by, coalesce(events, 0) as events, coalesce(audited, 0) as audited
     from ledger full join log using (by) where coalesce(events, 0) <> coalesce(audited, 0)`,
  )
  return rows.flatMap(({ by, events, audited }) =>
    Array<string>(Math.abs(events - audited)).fill(`${by}: ${events} events, ${audited} in the audit log`),
  )
}

function findSecondMails({ mails }: SentRecord): string[] {
  const seen = new Set<string>()
  return mails
    .map(({ to, occasion }) => `${to} for ${occasion}`)
    .filter((key) => seen.size === seen.add(key).size)
}
