import { MINUTE } from '@/lib/hold/zone'
import { writtenDown } from '../deskTimes'
import { dockScan } from '../reporting'
import { writtenTime } from '../writtenTime'
import { ownDraft, replaced, type Trouble } from './trouble'

/** A plant's desk and a scanner that give different times for one hand-over. */
export const twoWordsOnDispatch: Trouble = {
  settled: 220,
  open: 5,
  befall(sample, { random }) {
    const draft = ownDraft(sample, 'dispatched')
    if (!draft) return false
    const at = draft.time.instant + random.int(6, 44) * MINUTE
    const { service, waybill } = draft
    const desk = {
      source: `plant desk ${sample.kit.plant}`,
      place: sample.kit.plant,
      time: writtenTime(at, 'offset', sample.plantZone),
    }
    const scan = dockScan(sample.kit.plant, sample.plantZone, at, random)
    const isDesk = draft.source.startsWith('plant desk')
    const second = isDesk ? scan : { ...desk, ...writtenDown(at, random.int(2, 60), random) }
    const told = { kind: 'dispatched', sample: sample.kit.code, service, waybill }
    sample.drafts = [...sample.drafts, { ...withoutUndefined(told), ...second }]
    return true
  },
}

/** A scanner at the laboratory's dock that saw the parcel before the desk logged it in. */
export const twoWordsOnReceipt: Trouble = {
  settled: 120,
  open: 3,
  befall(sample, { random, setting }) {
    const draft = sample.drafts.find(({ kind }) => kind === 'received')
    const zone = setting.laboratories.get(sample.kit.laboratory)?.entry.zone
    if (!draft || !zone) return false
    const scan = dockScan(
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
  befall(sample, { random }) {
    const draft = ownDraft(sample, random.pick(['collected', 'received', 'conditioned', 'reported']))
    if (draft?.place === undefined) return false
    const time = writtenTime(draft.time.instant, 'date at place', draft.time.timeZone)
    replaced(sample, draft, { ...draft, time })
    return true
  },
}

/** The form names another product than the kit was meant for. */
export const otherProduct: Trouble = {
  settled: 5,
  open: 1,
  befall(sample, { random, setting }) {
    const draft = ownDraft(sample, 'collected')
    const mine = setting.products.get(sample.kit.product ?? '')
    const others = [...setting.products.values()].filter(
      ({ plant, code }) => plant === mine?.plant && code !== mine.code,
    )
    if (!draft || others.length === 0) return false
    replaced(sample, draft, { ...draft, product: random.pick(others).code })
    return true
  },
}

/** A spare kit, cut for whatever was on the line: only `collected` says what. */
export const spareKitUsed: Trouble = {
  settled: 30,
  open: 2,
  befall(sample) {
    const { product, purpose, ...rest } = sample.kit
    const draft = ownDraft(sample, 'collected')
    if (!draft || product === undefined || purpose !== undefined) return false
    sample.kit = rest
    replaced(sample, draft, { ...draft, product })
    return true
  },
}

function withoutUndefined<T extends Record<string, string | undefined>>(
  record: T,
): { kind: string } & Record<string, string> {
  const kept = Object.entries(record).filter((entry): entry is [string, string] => entry[1] !== undefined)
  return { kind: '', ...Object.fromEntries(kept) }
}
