import { DAY, HOUR, MINUTE } from '@/lib/hold/zone'
import { drawKnownAt } from '../deskTimes'
import { formatUtc } from '../wallClock'
import { writeTime, writeWallTime } from '../writtenTime'
import { findOwnDraft, replaceDraft, restate, type Trouble } from './trouble'

/** Received before dispatch: a mistyped day that nobody has noticed. */
export const receivedBeforeDispatched: Trouble = {
  settled: 20,
  open: 1,
  apply(sample, { random }) {
    const received = findOwnDraft(sample, 'received')
    const dispatched = findOwnDraft(sample, 'dispatched')
    if (!received || !dispatched) return false
    const days = Math.ceil((received.time.instant - dispatched.time.instant) / DAY) + random.int(0, 1)
    replaceDraft(sample, received, restate(received, received.time.instant - days * DAY))
    return true
  },
}

/** Loaded before its conditioning had lasted long enough: it began a day late, and the chamber was not told. */
export const loadedEarly: Trouble = {
  settled: 5,
  open: 0,
  apply(sample, { random, setting }) {
    const { protocol } = setting.products.get(sample.kit.product ?? '') ?? {}
    const rest = setting.protocols
      .get(protocol ?? '')
      ?.limits.find(
        ({ from, to, atLeast }) => from === 'conditioned' && to === 'loaded' && atLeast !== undefined,
      )
    const conditioned = findOwnDraft(sample, 'conditioned')
    const loaded = findOwnDraft(sample, 'loaded')
    if (rest?.atLeast === undefined || !conditioned || !loaded) return false
    const later = restate(
      conditioned,
      loaded.time.earliestAt - random.int(rest.atLeast - 8, rest.atLeast - 2) * HOUR,
    )
    replaceDraft(sample, conditioned, {
      ...later,
      knownAt: Math.max(later.knownAt, later.time.latestAt + MINUTE),
    })
    return true
  },
}

/** Sealed before the cut: two clocks in one hall disagree. */
export const sealedBeforeCut: Trouble = {
  settled: 12,
  open: 0,
  apply(sample, { random }) {
    const sealed = findOwnDraft(sample, 'sealed')
    const collected = findOwnDraft(sample, 'collected')
    if (!sealed || !collected) return false
    replaceDraft(sample, sealed, restate(sealed, collected.time.instant - random.int(3, 20) * MINUTE))
    return true
  },
}

/** Cut before the kit was issued: the kit was registered late. */
export const kitIssuedLate: Trouble = {
  settled: 4,
  open: 0,
  apply(sample) {
    const collected = findOwnDraft(sample, 'collected')
    if (!collected || sample.kit.purpose === 're-collection') return false
    const issuedAt = collected.time.instant + 5 * HOUR
    sample.kit = { ...sample.kit, issuedAt: formatUtc(issuedAt) }
    return true
  },
}

/** Produced in the repeated hour of a clock change. */
export const madeInRepeatedHour: Trouble = { settled: 3, open: 0, apply: madeInClockChange(true) }

/** Produced, by a wall clock that nobody had put forward, in the skipped hour of a clock change. */
export const madeInMissingHour: Trouble = { settled: 2, open: 0, apply: madeInClockChange(false) }

function madeInClockChange(isBack: boolean): Trouble['apply'] {
  return (sample, { setting }) => {
    const produced = findOwnDraft(sample, 'produced')
    const collected = findOwnDraft(sample, 'collected')
    if (!produced || !collected) return false
    const change = setting.clockChanges.get(sample.plantZone)?.find((candidate) => {
      const isBetween =
        candidate.at > Date.parse(sample.kit.issuedAt) && candidate.at < collected.time.instant - 2 * HOUR
      return candidate.isBack === isBack && isBetween
    })
    if (!change) return false
    const form = sample.kit.code < 'H' ? 'local in zone' : 'local at place'
    const time = writeWallTime(change.wallInside, form, sample.plantZone)
    replaceDraft(sample, produced, {
      ...produced,
      time,
      knownAt: Math.max(produced.knownAt, time.latestAt + MINUTE),
    })
    return true
  }
}

/** Scanned at the dock of another laboratory, and sent on. */
export const seenElsewhere: Trouble = {
  settled: 6,
  open: 1,
  apply(sample, { random, setting }) {
    const dispatched = findOwnDraft(sample, 'dispatched')
    const arrived = sample.drafts.find(({ kind }) => kind === 'delivered')
    if (!dispatched || !arrived || arrived.time.instant < dispatched.time.instant + DAY) return false
    const others = [...setting.laboratories.values()].filter(
      ({ entry }) => entry.code !== sample.kit.laboratory,
    )
    const { code, zone } = random.pick(others).entry
    const middle = dispatched.time.instant + (arrived.time.instant - dispatched.time.instant) / 2
    const at = Math.floor(middle / MINUTE) * MINUTE
    const scanned = {
      source: `receiving desk ${code}`,
      kind: 'scanned',
      sample: sample.kit.code,
      place: code,
      time: writeTime(at, 'local at place', zone),
      ...drawKnownAt(at, random.int(5, 50), random),
      facts: { note: 'not for us, sent on' },
    }
    sample.drafts = [...sample.drafts, scanned]
    return true
  },
}
