import { HOUR, MINUTE } from '@/lib/hold/zone'
import { type Batch, isUrgent } from './batches'
import type { DemoSample } from './draftEvent'
import { judgeSample } from './judgement'
import type { RandomStream } from './randomStream'
import type { Setting } from './setting'
import * as corrections from './troubles/corrections'
import * as disagreements from './troubles/disagreements'
import * as oddOrder from './troubles/oddOrder'
import * as paperwork from './troubles/paperwork'
import * as silences from './troubles/silences'
import { isKnown, type Trouble } from './troubles/trouble'
import { writeTime } from './writtenTime'

/** The rarest and most demanding first: a sample gets at most one trouble. */
const TROUBLES: readonly Trouble[] = [
  oddOrder.madeInRepeatedHour,
  oddOrder.madeInMissingHour,
  paperwork.extended,
  paperwork.deviationNotRuledOn,
  paperwork.deviationRefused,
  silences.dispatchNeverReported,
  oddOrder.seenElsewhere,
  oddOrder.receivedBeforeDispatched,
  corrections.loopOfCorrections,
  corrections.wrongKit,
  corrections.wrongKitInOneStep,
  corrections.wrongTime,
  corrections.withdrawnScan,
  oddOrder.sealedBeforeCut,
  oddOrder.kitIssuedLate,
  disagreements.otherProduct,
  disagreements.spareKitUsed,
  silences.sealedNeverReported,
  paperwork.deviationRuledOn,
  disagreements.dateOnly,
  disagreements.conflictingReceiptTimes,
  disagreements.conflictingDispatchTimes,
  paperwork.formCopy,
  oddOrder.loadedEarly,
]

interface Case {
  sample: DemoSample
  siblings: DemoSample[]
  isOpen: boolean
}

/**
 * Applies every trouble to its number of settled and open samples. Never opens a settled sample, settles an open one,
 * or adds one that needs someone today. Target samples stay as they are.
 */
export function addTroubles(
  batches: Batch[],
  wanted: Batch[],
  setting: Setting,
  random: RandomStream,
): DemoSample[] {
  const cases = batches.filter((batch) => !wanted.includes(batch)).flatMap(toCases)
  const settled = random.shuffled(cases.filter(({ isOpen }) => !isOpen))
  const open = random.shuffled(cases.filter(({ isOpen }) => isOpen))
  const met = new Set<DemoSample>()
  for (const trouble of TROUBLES) {
    applyTrouble(trouble, trouble.settled, settled, met, setting, random)
    applyTrouble(trouble, trouble.open, open, met, setting, random)
  }
  const ahead = open.find(
    ({ sample }) => !met.has(sample) && judgeSample(sample, setting).furthest === 'conditioned',
  )
  announceAhead(ahead?.sample ?? findWantedInConditioning(wanted, setting), setting)
  return batches.flatMap(({ samples }) => samples)
}

function toCases({ samples, judgements }: Batch): Case[] {
  return samples.map((sample, index) => ({
    sample,
    siblings: samples.filter((other) => other !== sample),
    isOpen: judgements[index]?.isOpen ?? false,
  }))
}

function applyTrouble(
  trouble: Trouble,
  count: number,
  cases: Case[],
  met: Set<DemoSample>,
  setting: Setting,
  random: RandomStream,
): void {
  let left = count
  for (const { sample, siblings, isOpen } of cases) {
    if (left === 0) return
    if (met.has(sample) || siblings.some((sibling) => met.has(sibling))) continue
    const before = [sample, ...siblings].map((each) => ({ each, copy: { ...each } }))
    const isWell =
      trouble.apply(sample, { siblings, isOpen, random, setting }) &&
      before.every(({ each, copy }) => isKnown(copy.drafts, each.drafts, setting)) &&
      before.every(({ each, copy }) => {
        const judgement = judgeSample(each, setting)
        return judgement.isOpen === judgeSample(copy, setting).isOpen && !isUrgent(judgement)
      })
    if (!isWell) {
      for (const { each, copy } of before) Object.assign(each, copy)
      continue
    }
    met.add(sample)
    left--
  }
}

/** The one event about the future: a loading entered in the bench book before it was done. */
function announceAhead(sample: DemoSample | undefined, setting: Setting): void {
  const laboratory = setting.laboratories.get(sample?.kit.laboratory ?? '')
  if (!sample || !laboratory) return
  const { code, zone } = laboratory.entry
  const at = Math.floor((setting.now + 26 * HOUR) / MINUTE) * MINUTE
  const announced = {
    source: `bench book ${code}`,
    kind: 'loaded',
    sample: sample.kit.code,
    place: code,
    time: writeTime(at, 'offset', zone),
    knownAt: setting.now - 40 * MINUTE,
    isKnownAtSent: true,
    isAhead: true,
    facts: { chamber: 3 },
  }
  sample.drafts = [
    ...sample.drafts.filter(({ kind, knownAt }) => kind !== 'loaded' || knownAt <= setting.now),
    announced,
  ]
}

function findWantedInConditioning(wanted: Batch[], setting: Setting): DemoSample | undefined {
  return wanted
    .flatMap(({ samples }) => samples)
    .find((sample) => {
      const { furthest, standing } = judgeSample(sample, setting)
      return furthest === 'conditioned' && standing === 'sound'
    })
}
