import { addTroubles } from './addTroubles'
import { adjustOpenCount } from './adjustOpenCount'
import { buildDemoTransitModel } from './demoJourney'
import { toWireEvents } from './draftEvent'
import { addFormCopies } from './formCopies'
import { drawHistory } from './history'
import { makeKitCodes } from './kitCodes'
import { makeOwedEntries } from './owed'
import { PRODUCTS } from './products'
import { randomStream } from './randomStream'
import { redrawUrgent } from './redrawUrgent'
import { makeRegister } from './register'
import type { RegisterDocument } from './registerDocument'
import { makeSetting } from './setting'
import { makeSpareKits } from './spareKits'
import { draftStrayEvents } from './strayEvents'
import { drawWantedSamples } from './wantedSamples'
import type { WireEvent } from './wireEvent'

/**
 * An invented programme of eighteen months: twelve plants, three laboratories, about 6,000 samples of which about 150
 * are open, with every kind of trouble. Everything is relative to `now` (ms UTC); the same `now` and `seed` give the
 * same register and the same events, in the order in which they became known.
 */
export function generateDemoProgramme(
  now: number,
  seed: number,
): { register: RegisterDocument; events: WireEvent[] } {
  const unjudged = makeSetting(now)
  const codes = makeKitCodes(randomStream(seed, 'kit codes'))
  const lived = drawHistory(unjudged, seed, codes)
  const setting = { ...unjudged, transitModel: buildDemoTransitModel(lived, unjudged) }
  const wanted = drawWantedSamples(setting, codes, randomStream(seed, 'wanted samples'))
  const past = redrawUrgent(lived, setting, randomStream(seed, 'calmed'))
  const batches = [
    ...adjustOpenCount(past, wanted, setting, codes, randomStream(seed, 'open number')),
    ...wanted,
  ]
  const samples = addTroubles(batches, wanted, setting, randomStream(seed, 'troubles'))
  addFormCopies(samples, setting, randomStream(seed, 'form copies'))
  const strays = draftStrayEvents(samples, setting, codes, randomStream(seed, 'strays'))
  const spares = makeSpareKits(
    wanted.flatMap((batch) => batch.samples),
    setting,
    codes,
    randomStream(seed, 'spare kits'),
  )
  const owed = makeOwedEntries(setting, codes)
  const drafts = new Set([...owed.drafts, ...samples.flatMap((sample) => sample.drafts), ...strays])
  const known = [...drafts].filter(
    (draft) => draft.knownAt <= now && (draft.isAhead || draft.time.earliestAt <= now),
  )
  return {
    register: makeRegister(
      setting,
      [...samples.map(({ kit }) => kit), ...spares, ...owed.kits],
      [...PRODUCTS, ...owed.products],
      owed.entries,
    ),
    events: toWireEvents(known),
  }
}
