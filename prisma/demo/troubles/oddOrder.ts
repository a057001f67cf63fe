import { DAY, HOUR, MINUTE } from '@/lib/hold/zone'
import { writtenDown } from '../deskTimes'
import { utcText } from '../wallClock'
import { writtenTime, writtenWallTime } from '../writtenTime'
import { ownDraft, replaced, restated, type Trouble } from './trouble'

/** Received before it was dispatched: a day mistyped that nobody has noticed. */
export const receivedBeforeDispatched: Trouble = {
  settled: 20,
  open: 1,
  befall(sample, { random }) {
    const received = ownDraft(sample, 'received')
    const dispatched = ownDraft(sample, 'dispatched')
    if (!received || !dispatched) return false
    const days = Math.ceil((received.time.instant - dispatched.time.instant) / DAY) + random.int(0, 1)
    replaced(sample, received, restated(received, received.time.instant - days * DAY))
    return true
  },
}

/** Sealed before it was cut: two clocks in one hall. */
export const sealedBeforeCut: Trouble = {
  settled: 12,
  open: 0,
  befall(sample, { random }) {
    const sealed = ownDraft(sample, 'sealed')
    const collected = ownDraft(sample, 'collected')
    if (!sealed || !collected) return false
    replaced(sample, sealed, restated(sealed, collected.time.instant - random.int(3, 20) * MINUTE))
    return true
  },
}

/** Cut before the kit was issued: the kit was entered in the register late. */
export const kitIssuedLate: Trouble = {
  settled: 4,
  open: 0,
  befall(sample) {
    const collected = ownDraft(sample, 'collected')
    if (!collected || sample.kit.purpose === 're-collection') return false
    const issuedAt = collected.time.instant + 5 * HOUR
    sample.kit = { ...sample.kit, issuedAt: utcText(issuedAt) }
    return true
  },
}

/** Made in the hour that a plant's clocks went through twice. */
export const madeInRepeatedHour: Trouble = { settled: 3, open: 0, befall: madeInClockChange(true) }

/** Made, by a clock on the wall that nobody had put forward, in the hour that did not exist. */
export const madeInMissingHour: Trouble = { settled: 2, open: 0, befall: madeInClockChange(false) }

function madeInClockChange(isBack: boolean): Trouble['befall'] {
  return (sample, { setting }) => {
    const produced = ownDraft(sample, 'produced')
    const collected = ownDraft(sample, 'collected')
    if (!produced || !collected) return false
    const change = setting.clockChanges.get(sample.plantZone)?.find((candidate) => {
      const isBetween =
        candidate.at > Date.parse(sample.kit.issuedAt) && candidate.at < collected.time.instant - 2 * HOUR
      return candidate.isBack === isBack && isBetween
    })
    if (!change) return false
    const form = sample.kit.code < 'H' ? 'local in zone' : 'local at place'
    const time = writtenWallTime(change.wallInside, form, sample.plantZone)
    replaced(sample, produced, {
      ...produced,
      time,
      knownAt: Math.max(produced.knownAt, time.latestAt + MINUTE),
    })
    return true
  }
}

/** Seen at the dock of a laboratory that it was not meant for, and sent on. */
export const seenElsewhere: Trouble = {
  settled: 6,
  open: 1,
  befall(sample, { random, setting }) {
    const dispatched = ownDraft(sample, 'dispatched')
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
      time: writtenTime(at, 'local at place', zone),
      ...writtenDown(at, random.int(5, 50), random),
      facts: { note: 'not for us, sent on' },
    }
    sample.drafts = [...sample.drafts, scanned]
    return true
  },
}
