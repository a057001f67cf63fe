import { computeDueAt } from '@/lib/hold/due'
import { DAY, HOUR, MINUTE } from '@/lib/hold/zone'
import { drawKnownAt, drawOfficeTime } from '../deskTimes'
import type { DemoSample, DraftEvent } from '../draftEvent'
import { formatUtc } from '../wallClock'
import { writeTime } from '../writtenTime'
import { findOwnDraft, type Trouble, type TroubleContext } from './trouble'

/** The programme administrator extends a clock that would be late, with a reason. */
export const extended: Trouble = {
  settled: 14,
  open: 2,
  apply(sample, around) {
    const { random, setting, isOpen } = around
    const protocol = setting.protocols.get(setting.products.get(sample.kit.product ?? '')?.protocol ?? '')
    const limit = protocol?.limits.find(({ to }) => to === 'loaded')
    const laboratory = setting.laboratories.get(sample.kit.laboratory)
    const start = limit && findOwnDraft(sample, limit.from)?.time.earliestAt
    if (!limit || !laboratory || start === undefined) return false
    const due = computeDueAt(limit, start, {
      plantZone: sample.plantZone,
      laboratory: laboratory.days.calendar,
    })
    const stop = findOwnDraft(sample, limit.to)?.time.latestAt
    const isLate = isOpen ? setting.now > due - 6 * DAY : stop !== undefined && stop > due - DAY
    if (!isLate) return false
    const until =
      Math.ceil((Math.max(due, isOpen ? due : (stop ?? due)) + random.int(20, 60) * HOUR) / HOUR) * HOUR
    // In time, or it would change nothing.
    const at = drawOfficeTime(Math.min(due - 4 * DAY, setting.now - 2 * DAY), random)
    const facts = {
      limit: limit.name,
      until: formatUtc(until),
      approvedBy: 'programme administrator',
      reason: random.pick([
        'chamber out of service',
        'held by customs, seal unbroken',
        'laboratory closed by weather',
      ]),
    }
    sample.drafts = [...sample.drafts, draftOfficeEvent(sample, 'extended', at, around, facts)]
    return true
  },
}

const FOUND = [
  'bag leaking at the seam',
  'no signature on the form',
  'logger missing',
  'warm on arrival',
  'lot unreadable',
]

/** Found wrong at receipt, with a ruling by the programme office. */
export const deviationRuledOn: Trouble = {
  settled: 90,
  open: 2,
  apply(sample, around) {
    const deviation = draftDeviation(sample, around)
    if (!deviation) return false
    const { random } = around
    const isRefused = sample.drafts.some(({ kind }) => kind === 'rejected')
    const ruling = isRefused ? 'cut again' : random.pick(['use', 'use', 'use with a note'])
    const reason = isRefused
      ? 'too long in the open'
      : random.pick(['seal unbroken', 'form sent after', 'within a day of the cut'])
    const at = drawOfficeTime(deviation.knownAt, random)
    const ruled = {
      ...draftOfficeEvent(sample, 'ruling', at, around, { ruling, reason }),
      rulingOn: deviation,
    }
    sample.drafts = [...sample.drafts, deviation, ruled]
    return true
  },
}

/** Found wrong at receipt, rejected by the laboratory, and to be cut again. */
export const deviationRefused: Trouble = {
  settled: 3,
  open: 0,
  apply(sample, around) {
    return sample.drafts.some(({ kind }) => kind === 'rejected') && deviationRuledOn.apply(sample, around)
  },
}

/** Found wrong at receipt, and still waiting for a ruling. */
export const deviationNotRuledOn: Trouble = {
  settled: 0,
  open: 1,
  apply(sample, around) {
    const deviation = draftDeviation(sample, around)
    if (deviation) sample.drafts = [...sample.drafts, deviation]
    return deviation !== undefined
  },
}

/** A photograph of the form, sent in. */
export const formCopy: Trouble = {
  settled: 380,
  open: 12,
  apply(sample, { random }) {
    const copy = draftFormCopy(sample, random)
    if (copy) sample.drafts = [...sample.drafts, copy]
    return copy !== undefined
  },
}

/** The copy of a form, sent in after sealing; undefined if the plant did not report when that was. */
export function draftFormCopy(sample: DemoSample, random: TroubleContext['random']): DraftEvent | undefined {
  const sealed = findOwnDraft(sample, 'sealed')
  if (!sealed) return undefined
  const at = sealed.time.instant + random.int(3, 90) * MINUTE
  const time = writeTime(at, sealed.time.form, sealed.time.timeZone)
  return {
    ...sealed,
    kind: 'form copy',
    time,
    ...drawKnownAt(at, 1, random),
    facts: { pages: random.int(1, 3) },
  }
}

function draftDeviation(sample: DemoSample, { random, setting }: TroubleContext): DraftEvent | undefined {
  const received = sample.drafts.find(({ kind }) => kind === 'received')
  const zone = setting.laboratories.get(sample.kit.laboratory)?.entry.zone
  if (!received || !zone) return undefined
  const at = received.time.instant + random.int(5, 40) * MINUTE
  return {
    source: `receiving desk ${sample.kit.laboratory}`,
    kind: 'deviation',
    sample: sample.kit.code,
    place: sample.kit.laboratory,
    time: writeTime(at, 'local at place', zone),
    ...drawKnownAt(at, random.int(1, 30), random),
    facts: { what: random.pick(FOUND) },
  }
}

/** What the programme office reports at `at` (ms UTC). */
export function draftOfficeEvent(
  sample: DemoSample,
  kind: string,
  at: number,
  { random }: TroubleContext,
  facts: NonNullable<DraftEvent['facts']>,
): DraftEvent {
  const instant = Math.floor(at / MINUTE) * MINUTE
  const time = writeTime(instant, 'utc', 'UTC')
  return {
    source: 'programme office',
    kind,
    sample: sample.kit.code,
    time,
    ...drawKnownAt(instant, random.int(0, 6), random),
    facts,
  }
}
