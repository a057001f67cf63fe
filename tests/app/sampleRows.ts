import { buildClock, type Clock, type ClockFacts } from '@/lib/hold/clock'
import type { LimitFields } from '@/lib/hold/limit'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
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
