import { MINUTE } from '@/lib/hold/zone'
import { drawKnownAt } from '../deskTimes'
import { draftDockScan } from '../reporting'
import { writeTime } from '../writtenTime'
import { findOwnDraft, replaceDraft, type Trouble } from './trouble'

/** A plant's desk and a scanner report different times for one hand-over. */
export const conflictingDispatchTimes: Trouble = {
  settled: 220,
  open: 5,
  apply(sample, { random }) {
    const draft = findOwnDraft(sample, 'dispatched')
    if (!draft) return false
    const at = draft.time.instant + random.int(6, 44) * MINUTE
    const { service, waybill } = draft
    const desk = {
      source: `plant desk ${sample.kit.plant}`,
      place: sample.kit.plant,
      time: writeTime(at, 'offset', sample.plantZone),
    }
    const scan = draftDockScan(sample.kit.plant, sample.plantZone, at, random)
    const isDesk = draft.source.startsWith('plant desk')
    const second = isDesk ? scan : { ...desk, ...drawKnownAt(at, random.int(2, 60), random) }
    const base = { kind: 'dispatched', sample: sample.kit.code, service, waybill }
    sample.drafts = [...sample.drafts, { ...omitUndefined(base), ...second }]
    return true
  },
}

/** A scanner at the laboratory's dock saw the parcel before the desk logged it in. */
export const conflictingReceiptTimes: Trouble = {
  settled: 120,
  open: 3,
  apply(sample, { random, setting }) {
    const draft = sample.drafts.find(({ kind }) => kind === 'received')
    const zone = setting.laboratories.get(sample.kit.laboratory)?.entry.zone
    if (!draft || !zone) return false
    const scan = draftDockScan(
      sample.kit.laboratory,
      zone,
      draft.time.instant - random.int(4, 50) * MINUTE,
      random,
    )
    sample.drafts = [...sample.drafts, { kind: 'received', sample: sample.kit.code, ...scan }]
    return true
  },
}

/** Only the day is known. */
export const dateOnly: Trouble = {
  settled: 110,
  open: 3,
  apply(sample, { random }) {
    const draft = findOwnDraft(sample, random.pick(['collected', 'received', 'conditioned', 'reported']))
    if (draft?.place === undefined) return false
    const time = writeTime(draft.time.instant, 'date at place', draft.time.timeZone)
    replaceDraft(sample, draft, { ...draft, time })
    return true
  },
}

/** The form names another product than the kit. */
export const otherProduct: Trouble = {
  settled: 5,
  open: 1,
  apply(sample, { random, setting }) {
    const draft = findOwnDraft(sample, 'collected')
    const mine = setting.products.get(sample.kit.product ?? '')
    const others = [...setting.products.values()].filter(
      ({ plant, code }) => plant === mine?.plant && code !== mine.code,
    )
    if (!draft || others.length === 0) return false
    replaceDraft(sample, draft, { ...draft, product: random.pick(others).code })
    return true
  },
}

/** A spare kit, used for whatever was on the line: only `collected` names the product. */
export const spareKitUsed: Trouble = {
  settled: 30,
  open: 2,
  apply(sample) {
    const { product, purpose, ...rest } = sample.kit
    const draft = findOwnDraft(sample, 'collected')
    if (!draft || product === undefined || purpose !== undefined) return false
    sample.kit = rest
    replaceDraft(sample, draft, { ...draft, product })
    return true
  },
}

function omitUndefined<T extends Record<string, string | undefined>>(
  record: T,
): { kind: string } & Record<string, string> {
  const kept = Object.entries(record).filter((entry): entry is [string, string] => entry[1] !== undefined)
  return { kind: '', ...Object.fromEntries(kept) }
}
