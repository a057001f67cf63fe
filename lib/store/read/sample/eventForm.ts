import type pg from 'pg'
import { z } from 'zod'
import type { ConditionFault } from '@/lib/custody/condition'
import { type EventKind, eventKey, type ReadEvent } from '@/lib/custody/event'
import { KINDS } from '@/lib/custody/eventKinds'
import { toCanonical } from '@/lib/custody/kitCode'
import type { PlacedEvent } from '@/lib/custody/placing'
import { getUnjudgedTemperature, judgeCondition } from '@/lib/custody/receiptFaults'
import type { Register } from '@/lib/custody/register'
import type { Clock } from '@/lib/hold/clock'
import type { Milestone } from '@/lib/hold/milestone'
import type { Scope } from '@/lib/policy/scope'
import { declareEventQuery, type LedgerEvent, readEventsByKey } from '../../ledger/eventLedger'
import { readLedgerEvent } from '../../projection/placeLedgerEvents'
import { withReadTransaction } from '../../projection/readTransaction'
import { storedSample } from '../../projection/sampleRow'
import { setScope } from '../../scope/scope'
import { statement } from '../../scope/statement'

/** A kit as the event form needs it. */
export interface VisibleKit {
  code: string
  plant: string
  laboratory: string
  /** The kit’s product, or the one named since. */
  product: string | null
  stage: Milestone | null
  ending: string | null
  /** The milestones reported so far. */
  reported: Milestone[]
  clocks: Clock[]
  plantZone: string
  laboratoryZone: string
}

const VISIBLE_KITS = statement(
  storedSample.pick({
    code: true,
    plant: true,
    laboratory: true,
    product: true,
    stage: true,
    ending: true,
    milestones: true,
    clocks: true,
  }),
  `select code, plant, laboratory, product, stage, ending, milestones, clocks from sample
   where code = any($1) order by code`,
)

/** The kits of these codes, in any notation, whose samples `scope` sees. */
export async function findVisibleKits(
  pool: pg.Pool,
  scope: Scope,
  codes: readonly string[],
  now: number,
): Promise<VisibleKit[]> {
  return withReadTransaction(pool, scope, now, async ({ client, register }) => {
    const rows = await VISIBLE_KITS.all(client, [codes.map(toCanonical)])
    return rows.map(({ milestones, ...row }) => ({
      ...row,
      reported: milestones.map(({ milestone }) => milestone),
      plantZone: register.getZone(row.plant) ?? 'UTC',
      laboratoryZone: register.getZone(row.laboratory) ?? 'UTC',
    }))
  })
}

/** An event recorded with the event form. Times in ms UTC. */
export interface SubmittedEvent {
  key: string
  sample: string | null
  kind: EventKind
  corrects: string | null
  earliestAt: number
  latestAt: number
  /** Another event corrects it. */
  isTakenOut: boolean
  /** Empty, like `laboratory`, for a consignment’s event. */
  plant: string
  laboratory: string
  /** The zone of its place, else its own. */
  zone: string
  facts: Record<string, unknown> | null
  /** It is about a box that a laboratory keeps until it is matched to a sample. */
  isKept: boolean
  /** What is wrong in the condition that a receipt tells, by the rules of its sample's protocol. */
  found: readonly ConditionFault[]
  /** The temperature (°C) that a receipt tells and its protocol does not judge. */
  unjudgedTemperature: number | null
}

const SUBMITTED = declareEventQuery("where e.source = $1 and starts_with(e.id, $2 || ' ') order by e.seq")

const CORRECTED = statement(
  z.object({ corrects: z.string() }),
  'select distinct corrects from event where corrects = any($1)',
)

const SAMPLE_PLACES = statement(
  storedSample.pick({ code: true, plant: true, laboratory: true, product: true }),
  'select code, plant, laboratory, product from sample where code = any($1)',
)

/** The events that `source` recorded under the token of one form, of samples that `scope` sees and of boxes that wait for one. */
export async function listSubmittedEvents(
  pool: pg.Pool,
  scope: Scope,
  source: string,
  token: string,
  now: number,
): Promise<SubmittedEvent[]> {
  return withReadTransaction(pool, 'all', now, async ({ client, register }) => {
    const events = await SUBMITTED(client, [source, token])
    const keys = events.map(eventKey)
    const out = await CORRECTED.all(client, [keys])
    const takenOut = new Set(out.map(({ corrects }) => corrects))
    await setScope(client, scope)
    const seen = await SAMPLE_PLACES.all(client, [events.map(({ sample }) => sample)])
    const ends = new Map(seen.map((one) => [one.code, one]))
    return events.flatMap((event) => {
      const { sample, kind, corrects, facts, place } = event
      const seenSample = sample === null ? undefined : ends.get(sample)
      // The same of a kit that another laboratory or maker has and of one that nobody has.
      const isKept = !seenSample && place !== null && KINDS[kind].mayNameNoKit === true
      if (!seenSample && !isKept && sample !== null) return []
      const { earliestAt, latestAt } = readLedgerEvent(event, register)
      const key = eventKey(event)
      return [
        {
          key,
          sample,
          kind,
          corrects,
          earliestAt,
          latestAt,
          isTakenOut: takenOut.has(key),
          plant: seenSample?.plant ?? '',
          laboratory: seenSample?.laboratory ?? (isKept ? place : ''),
          zone: register.getZone(place) ?? event.zone ?? 'UTC',
          facts,
          isKept,
          ...judgeReceipt(event, seenSample?.product ?? null, register),
        },
      ]
    })
  })
}

const CORRECTORS = statement(
  z.object({ key: z.string() }),
  "select source || '/' || id as key from event where corrects = $1",
)

/**
 * What an event corrected, to be reported anew if that is undone: one of the same sample (`here`), else one that `scope` sees, since
 * anybody may name another's event. Null if it corrected none of these, or if others correct the same, whose content stands.
 */
export async function findCorrected(
  pool: pg.Pool,
  scope: Scope,
  { corrects, ...corrector }: Pick<LedgerEvent, 'source' | 'id' | 'corrects'>,
  here: readonly PlacedEvent[],
  now: number,
): Promise<ReadEvent | null> {
  if (corrects === null) return null
  const isAlone = (correctors: readonly string[]) => correctors.every((key) => key === eventKey(corrector))
  const found = here.find(({ event }) => eventKey(event) === corrects)
  if (found) return found.event.kind !== 'withdrawn' && isAlone(found.correctedBy) ? found.event : null
  return withReadTransaction(pool, scope, now, async ({ client, register }) => {
    const [event] = await readEventsByKey(client, [corrects])
    const correctors = await CORRECTORS.all(client, [corrects])
    if (!event || event.kind === 'withdrawn') return null
    return isAlone(correctors.map(({ key }) => key)) ? readLedgerEvent(event, register) : null
  })
}

/** What a receipt tells of the condition, by the rules in force when it was received. */
function judgeReceipt(event: LedgerEvent, product: string | null, register: Register) {
  if (event.kind !== 'received') return { found: [], unjudgedTemperature: null }
  const receipt = readLedgerEvent(event, register)
  const versions = product === null ? [] : register.listLimits(product)
  return {
    found: judgeCondition(receipt, versions),
    unjudgedTemperature: getUnjudgedTemperature(receipt, versions),
  }
}

/** The options of an event form for a plant’s kits. */
export interface KitChoices {
  services: { code: string; name: string }[]
  products: { code: string; name: string }[]
}

/** The services of the programme and the products of one plant. The caller checks that the viewer may see the plant. */
export async function getKitChoices(pool: pg.Pool, plant: string, now: number): Promise<KitChoices> {
  return withReadTransaction(pool, 'all', now, async ({ register }) => {
    const named = (one: { code: string; name: string }) => ({ code: one.code, name: one.name })
    const byName = (a: { name: string }, b: { name: string }) => (a.name < b.name ? -1 : 1)
    const products = [...register.products.values()].filter((product) => product.plant === plant)
    return {
      services: [...register.services.values()].map(named).sort(byName),
      products: products.map(named).sort(byName),
    }
  })
}
