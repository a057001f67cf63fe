import { buildClock, type Clock, type ClockFacts } from '@/lib/hold/clock'
import type { LimitFields } from '@/lib/hold/limit'
import type { Judgement } from '@/lib/judgement/judge'
import { makeAct, type NextAct } from '@/lib/judgement/nextAct'
import { message } from '@/lib/messages/message'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import type { JudgedRow } from '@/lib/store/read/judged/judgedRow'
import { limit } from '../hold/places'

const places = { plantZone: 'Europe/Lisbon', laboratory: { zone: 'America/New_York', isOpen: () => true } }

/** A clock of 240 hours from cut to chamber, or with another limit. */
export function clock(facts: Partial<ClockFacts>, changes: Partial<LimitFields> = {}): Clock {
  return buildClock(
    limit({ amount: 240, ...changes }),
    { startedAt: null, stoppedAt: null, ...facts },
    places,
  )
}

/** An open, sound sample whose kit is out and of which nothing was reported, with whatever is changed. */
export function row(changes: Partial<SampleRow> = {}): SampleRow {
  return {
    code: 'G9HF3SN3',
    plant: 'PL1',
    laboratory: 'LAB',
    service: null,
    product: 'FELT',
    productName: 'Felt tile',
    lot: null,
    protocol: 'TEN',
    purpose: 'first',
    issuedAt: Date.parse('2026-11-01T09:00:00Z'),
    stage: null,
    stageAt: null,
    standing: 'sound',
    isSettled: false,
    settledAt: null,
    ending: null,
    replacedBy: null,
    laboratoryZone: 'America/New_York',
    binding: null,
    forecast: null,
    lapsed: null,
    milestones: [],
    missingMilestones: [],
    flags: [],
    ...changes,
  }
}

/** The same with what it needs: nothing, of one that is fit, with whatever is changed. */
export function judgedRow({
  judgement,
  ...changes
}: Partial<SampleRow> & { judgement?: Partial<Judgement> | null } = {}): JudgedRow {
  const plain = row(changes)
  const { code, standing } = plain
  return {
    ...plain,
    judgement:
      judgement === null
        ? null
        : { sample: code, standing, fitness: 'fit', restraint: null, acts: [], ...judgement },
    zones: { plant: 'Europe/Lisbon', laboratory: 'America/New_York', programme: 'UTC' },
  }
}

/** An act without times, of whoever usually does it. */
export function act(
  name: NextAct['act'],
  by: NextAct['actor']['by'],
  changes: Partial<NextAct> = {},
): NextAct {
  const actor = by === 'programme' ? { by } : { by, code: by === 'plant' ? 'PL1' : 'LAB' }
  return { ...makeAct(0, name, actor, message('step.load.because', { count: 1 })), ...changes }
}
