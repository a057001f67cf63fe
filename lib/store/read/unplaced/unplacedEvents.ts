import type pg from 'pg'
import { z } from 'zod'
import { eventKey, isOfUnknownBox, type ReadEvent } from '@/lib/custody/event'
import { formatKitCode, listTypos, toCanonical } from '@/lib/custody/kitCode'
import type { Register } from '@/lib/custody/register'
import { readTextFact } from '@/lib/custody/textFact'
import { type Message, message } from '@/lib/messages/message'
import { isRestricted } from '@/lib/policy/mayReport'
import type { Scope } from '@/lib/policy/scope'
import { declareEventQuery, type LedgerEvent } from '../../ledger/eventLedger'
import { readLedgerEvent } from '../../projection/placeLedgerEvents'
import { withReadTransaction } from '../../projection/readTransaction'
import { storedSample } from '../../projection/sampleRow'
import { statement } from '../../scope/statement'
import type { Queryable } from '../../scope/transaction'
import { type CorrectedUnplaced, listCorrectedUnplaced } from './correctedUnplaced'
import { newestInTurn } from './newestInTurn'

/** A kit that an unplaced event may have meant, and why. */
export interface LikelyKit {
  code: string
  plantName: string
  why: Message
}

export interface UnplacedEvent {
  key: string
  event: ReadEvent
  acceptedAt: number
  /** The zone of the place it was reported from; null if the register does not have that place. */
  placeZone: string | null
  /** The name of that place, else its code. */
  placeName: string | null
  /** Why it matches no sample. */
  reason: Message
  likely: LikelyKit[]
  /** It is a hand-over whose claim on its waybill waits; else it matches no known sample. */
  isClaim: boolean
}

export interface UnplacedPage {
  asOf: number
  isDemo: boolean
  /** The number of events that match no sample. */
  total: number
  events: UnplacedEvent[]
  /** Hand-overs that name a waybill under which another maker's sample travels, newest first. */
  claims: UnplacedEvent[]
  /** Unplaced events that were corrected or withdrawn, newest first. */
  corrected: CorrectedUnplaced[]
}

const MAX_EVENTS = 200
const MAX_LIKELY = 5
const CONSIDERED_DAYS = 90

const TOTAL = statement(
  z.object({ total: z.number() }),
  'select count(*)::int as total from unplaced where not is_claim',
)

const NEWEST = declareEventQuery(newestInTurn('not u.is_claim', MAX_EVENTS))

/** The newest claim of each sample on each waybill, and those of each plant in turn, so that none pushes another's out. */
const CLAIMS = declareEventQuery(
  `join (
     select seq, row_number() over (partition by plant order by seq desc) as turn from (
       select distinct on (c.sample, c.service, c.waybill_key) c.seq, s.plant
       from unplaced u join event c on c.seq = u.event_seq join sample s on s.code = c.sample where u.is_claim
       order by c.sample, c.service, c.waybill_key, c.seq desc) as newest
   ) as claim using (seq) order by turn, seq desc limit ${MAX_EVENTS}`,
)

/**
 * The events that match no known sample, newest first, with the kits they may have meant, at `now` (ms UTC). Empty for a
 * scope that does not see everything.
 */
export async function listUnplacedEvents(pool: pg.Pool, scope: Scope, now: number): Promise<UnplacedPage> {
  return withReadTransaction(pool, scope, now, async (reader) => {
    const { client, register, isDemo } = reader
    const events = await NEWEST(client)
    const claims = await CLAIMS(client)
    const { total } = await TOTAL.one(client)
    const likely = await findLikelyKits(client, events, register)
    return {
      asOf: now,
      isDemo,
      total,
      corrected: scope === 'all' ? await listCorrectedUnplaced(reader, now) : [],
      events: events.map((event) =>
        toUnplacedEvent(event, register, {
          reason: explainUnplaced(event),
          likely: likely.get(eventKey(event)) ?? [],
          isClaim: false,
        }),
      ),
      claims: await readClaims(client, claims, register),
    }
  })
}

function toUnplacedEvent(
  event: LedgerEvent,
  register: Register,
  why: Pick<UnplacedEvent, 'reason' | 'likely' | 'isClaim'>,
): UnplacedEvent {
  return {
    key: eventKey(event),
    event: readLedgerEvent(event, register),
    acceptedAt: event.acceptedAt,
    placeZone: register.getZone(event.place),
    placeName: getPlaceName(event.place, register),
    ...why,
  }
}

function getPlaceName(place: string | null, { laboratories, plants }: Register): string | null {
  return place === null ? null : (laboratories.get(place)?.name ?? plants.get(place)?.name ?? place)
}

const FIRST_CLAIM = statement(
  z.object({
    key: z.string(),
    code: z.string(),
    plant: z.string(),
    firstCode: z.string().nullable(),
    firstPlant: z.string().nullable(),
  }),
  `select e.source || '/' || e.id as key, s.code, s.plant, first.code as "firstCode", first.plant as "firstPlant"
   from event e join sample s on s.code = e.sample left join lateral (
     select o.code, o.plant from event d join sample o on o.code = d.sample
     where d.service = e.service and d.waybill_key = e.waybill_key and d.kind = 'dispatched' and d.sample is not null
       and d.waybill_key is not null and o.plant <> s.plant
       and not exists (select from unplaced u where u.event_seq = d.seq)
     order by exists (select from event c where c.corrects = d.source || '/' || d.id), d.seq limit 1) as first on true
   where e.seq = any($1::bigint[])`,
)

/** The claims that wait, each with the sample that names the waybill and the one that travels under it. */
async function readClaims(
  db: Queryable,
  claims: readonly LedgerEvent[],
  register: Register,
): Promise<UnplacedEvent[]> {
  const found = await FIRST_CLAIM.all(db, [claims.map(({ seq }) => seq)])
  const byKey = new Map(found.map((one) => [one.key, one]))
  const getName = (plant: string) => register.plants.get(plant)?.name ?? plant
  const toLikely = (code: string | null, plant: string | null, why: Message) =>
    code === null || plant === null ? [] : [{ code, plantName: getName(plant), why }]
  return claims.flatMap((event) => {
    const one = byKey.get(eventKey(event))
    if (!one) return []
    const why = {
      reason: message('unplaced.reason.claimed', {
        plant: getName(one.firstPlant ?? ''),
        service: event.service ?? '',
        waybill: event.waybill ?? '',
      }),
      likely: [
        ...toLikely(one.firstCode, one.firstPlant, message('unplaced.likely.first')),
        ...toLikely(one.code, one.plant, message('unplaced.likely.claim')),
      ],
      isClaim: true,
    }
    return [toUnplacedEvent(event, register, why)]
  })
}

const ONE = declareEventQuery(
  'join unplaced u on u.event_seq = e.seq where e.source = $1 and e.id = $2 and u.is_claim = $3',
)

/** An event that waits to be matched, by its key; null if there is none, or if `scope` does not see everything. */
export async function findUnplacedEvent(
  pool: pg.Pool,
  scope: Scope,
  key: string,
  now: number,
): Promise<{ event: ReadEvent; isClaim: boolean } | null> {
  const slash = key.indexOf('/')
  return withReadTransaction(pool, scope, now, async ({ client, register }) => {
    for (const isClaim of [false, true]) {
      const [event] = await ONE(client, [key.slice(0, Math.max(0, slash)), key.slice(slash + 1), isClaim])
      if (event) return { event: readLedgerEvent(event, register), isClaim }
    }
    return null
  })
}

function explainUnplaced(event: LedgerEvent): Message {
  const { sample, service, waybill, reporter } = event
  if (isOfUnknownBox(event)) return message('unplaced.reason.noCode')
  if (sample === null)
    return message('unplaced.reason.noDispatch', { service: service ?? '', waybill: waybill ?? '' })
  return message(
    reporter && isRestricted(reporter) ? 'unplaced.reason.notAllowed' : 'unplaced.reason.unknownKit',
    {
      code: formatKitCode(sample),
    },
  )
}

const likelyKit = storedSample.pick({ code: true, plant: true }).extend({ key: z.string() })

const NEAR = statement(
  likelyKit.extend({ settled: storedSample.shape.settled }),
  `select code, plant, key, settled from unnest($1::text[], $2::text[]) as asked (key, code) join sample using (code)
   order by settled is not null, code`,
)

const TRAVELLING = statement(
  likelyKit.extend({ waybill: z.string() }),
  `select d.sample as code, s.plant, asked.key, d.waybill
   from unnest($1::text[], $2::text[], $3::text[], $4::timestamptz[]) as asked (key, service, waybill, received_at)
   join event d on d.sample is not null and d.kind = 'dispatched' and d.waybill_key is not null
     and d.service = asked.service and d.received_at > asked.received_at - interval '${CONSIDERED_DAYS} days'
     and length(d.waybill_key) = length(asked.waybill)
     and (select count(*) from generate_series(1, length(asked.waybill)) as place
          where substr(d.waybill_key, place, 1) <> substr(asked.waybill, place, 1)) <= 2
   join sample s on s.code = d.sample
   order by s.settled is not null, d.sample limit 1000`,
)

/**
 * Kits whose code is one typing error away from the event’s, or from what is written on its box; for an event that names no kit,
 * kits under a similar waybill.
 */
async function findLikelyKits(db: Queryable, events: readonly LedgerEvent[], register: Register) {
  const asked = events.flatMap((event) =>
    listTypos(event.sample ?? readWrittenCode(event)).map((code) => ({ key: eventKey(event), code })),
  )
  const near = await NEAR.all(db, [asked.map(({ key }) => key), asked.map(({ code }) => code)])
  const named = events.flatMap((event) => listPossibleConsignments(event, register))
  const travelling = await TRAVELLING.all(db, [
    named.map(({ key }) => key),
    named.map(({ service }) => service),
    named.map(({ waybill }) => waybill),
    named.map(({ acceptedAt }) => new Date(acceptedAt)),
  ])
  const found = new Map<string, LikelyKit[]>()
  const add = (key: string, code: string, plant: string, why: Message) => {
    const list = found.get(key) ?? []
    // A hand-over may be reported more than once.
    const isNew = !list.some((one) => one.code === code && one.why.key === why.key)
    if (isNew && list.length < MAX_LIKELY)
      list.push({ code, plantName: register.plants.get(plant)?.name ?? plant, why })
    found.set(key, list)
  }
  for (const { key, code, plant, settled } of near)
    add(key, code, plant, message(settled === null ? 'unplaced.likely.slip' : 'unplaced.likely.slipSettled'))
  for (const { key, code, plant, waybill } of travelling)
    add(key, code, plant, message('unplaced.likely.waybill', { waybill }))
  return found
}

/** The code that may be meant by what is written on a box; empty where that is none. */
function readWrittenCode(event: LedgerEvent): string {
  const written = toCanonical(readTextFact(event, 'writtenOnBox') ?? '')
  return /^[0-9A-Z]{8}$/.test(written) ? written : ''
}

/** The consignments that an event without a kit may name: a box tells a waybill, and not always whose. */
function listPossibleConsignments(event: LedgerEvent, register: Register) {
  const { sample, service, waybill, acceptedAt } = event
  if (sample !== null || waybill === null) return []
  const services = service === null ? [...register.services.keys()] : [service]
  return services.map((one) => ({
    key: eventKey(event),
    service: one,
    waybill: toCanonical(waybill),
    acceptedAt,
  }))
}
