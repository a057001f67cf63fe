import { parseRegister } from '@/lib/custody/parseRegister'
import { listEntries, Register } from '@/lib/custody/register'
import { type Ending, isEnding, isMilestone } from '@/lib/hold/milestone'
import type { Journey, Report } from '@/lib/lane/model/journey'
import { buildTransitModel, type TransitModel } from '@/lib/lane/model/transitModel'
import { getLanePlaces } from '@/lib/store/ledger/lanePlaces'
import type { DemoSample, DraftEvent } from './draftEvent'
import { makeRegister } from './register'
import type { Setting } from './setting'

/**
 * A sample's journey as the product will read it: an event without `reportedAt` becomes known when the demo is loaded.
 * `now` in ms UTC.
 */
export function toDemoJourney({ kit, drafts }: DemoSample, now: number): Journey {
  const known = drafts.filter(({ knownAt }) => knownAt <= now)
  const getKnownAt = (draft: DraftEvent) => (draft.isKnownAtSent ? draft.knownAt : now)
  const reports = known.flatMap((draft): Report[] => {
    if (!isMilestone(draft.kind)) return []
    const { earliestAt, latestAt } = draft.time
    const withdrawnAt = draft.outAt !== undefined && draft.outAt <= now ? draft.outAt : null
    return [{ milestone: draft.kind, at: earliestAt, latestAt, knownAt: getKnownAt(draft), withdrawnAt }]
  })
  const sent = known.find(({ kind, waybill }) => kind === 'dispatched' && waybill !== undefined)
  const [ended] = known
    .filter(({ kind, outAt }) => isEnding(kind) && outAt === undefined)
    .sort((a, b) => a.time.earliestAt - b.time.earliestAt)
  return {
    code: kit.code,
    plant: kit.plant,
    laboratory: kit.laboratory,
    service: sent?.service ?? kit.service ?? null,
    consignment: sent ? JSON.stringify([sent.service, sent.waybill]) : null,
    issuedAt: Date.parse(kit.issuedAt),
    reports,
    ending: ended
      ? {
          kind: ended.kind as Ending,
          at: ended.time.earliestAt,
          knownAt: getKnownAt(ended),
        }
      : null,
  }
}

/** The transit model of the demo's lanes at the setting's `now`. */
export function buildDemoTransitModel(
  batches: readonly { samples: readonly DemoSample[] }[],
  setting: Setting,
): TransitModel {
  const { document } = parseRegister(JSON.parse(JSON.stringify(makeRegister(setting, []))))
  if (!document) throw new Error('The demo register is refused')
  const register = new Register(listEntries(document, Number.NEGATIVE_INFINITY))
  const journeys = batches.flatMap(({ samples }) =>
    samples.map((sample) => toDemoJourney(sample, setting.now)),
  )
  return buildTransitModel(
    journeys.filter(({ reports }) => reports.length > 0),
    getLanePlaces(register),
    setting.now,
  )
}
