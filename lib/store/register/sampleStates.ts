import type { z } from 'zod'
import type { Clock } from '@/lib/hold/clock'
import { getOpenStanding, type Standing } from '@/lib/hold/standing'
import { findCalendarOwner } from '@/lib/hold/units'
import { storedSample } from '../projection/sampleRow'
import { statement } from '../scope/statement'
import type { Queryable } from '../scope/transaction'

/**
 * What a change of the register does to one sample. Instants in ms UTC. Both standings are by the share of time used:
 * chances depend on the transit model, which is refitted only after the change.
 */
export interface SampleChange {
  code: string
  plant: string
  laboratory: string
  before: Standing
  after: Standing
  /** Clocks whose due changes; null: it had none, or has none now. In the order of their protocol. */
  dues: {
    limit: string
    zoneOwner: 'plant' | 'laboratory'
    beforeAt: number | null
    afterAt: number | null
  }[]
}

/** What a change of the register can affect. */
const sampleState = storedSample.pick({
  code: true,
  plant: true,
  laboratory: true,
  settled: true,
  tight_at: true,
  at_risk_at: true,
  due_at: true,
  has_lapsed: true,
  clocks: true,
})
type SampleState = z.infer<typeof sampleState>

const READ_STATES = statement(
  sampleState,
  `select ${Object.keys(sampleState.shape).join(', ')} from sample where code = any($1) order by code`,
)

export async function readSampleStates(
  client: Queryable,
  codes: readonly string[],
): Promise<Map<string, SampleState>> {
  const rows = await READ_STATES.all(client, [codes])
  return new Map(rows.map((row) => [row.code, row]))
}

/** The samples whose standing or dues differ at `now` (ms UTC). */
export function diffSampleStates(
  before: ReadonlyMap<string, SampleState>,
  after: ReadonlyMap<string, SampleState>,
  now: number,
): SampleChange[] {
  return [...after.values()].flatMap((later) => {
    const earlier = before.get(later.code)
    if (!earlier) return []
    const { code, plant, laboratory } = later
    const change = {
      code,
      plant,
      laboratory,
      before: getStanding(earlier, now),
      after: getStanding(later, now),
      dues: diffDues(earlier.clocks, later.clocks),
    }
    return change.before === change.after && change.dues.length === 0 ? [] : [change]
  })
}

function getStanding(state: SampleState, now: number): Standing {
  const instant = (date: Date | null) => date?.getTime() ?? null
  const times = {
    tightAt: instant(state.tight_at),
    atRiskAt: instant(state.at_risk_at),
    dueAt: instant(state.due_at),
    hasLapsed: state.has_lapsed,
  }
  return state.settled ?? getOpenStanding(times, now)
}

function diffDues(before: readonly Clock[], after: readonly Clock[]): SampleChange['dues'] {
  const mapByName = (clocks: readonly Clock[]) => new Map(clocks.map((clock) => [clock.limit.name, clock]))
  const [earlier, later] = [mapByName(before), mapByName(after)]
  return [...new Set([...earlier.keys(), ...later.keys()])].flatMap((limit) => {
    const [old, fresh] = [earlier.get(limit), later.get(limit)]
    const [beforeAt, afterAt] = [old?.dueAt ?? null, fresh?.dueAt ?? null]
    if (beforeAt === afterAt) return []
    const zoneOwner = findCalendarOwner(((fresh ?? old) as Clock).limit) ?? 'laboratory'
    return [{ limit, zoneOwner, beforeAt, afterAt }]
  })
}
