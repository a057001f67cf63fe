import { calmed } from './calmed'
import { demoRecord } from './demoJourney'
import { wireEvents } from './draftEvent'
import { formCopies } from './formCopies'
import { history } from './history'
import { kitCodes } from './kitCodes'
import { openNumber } from './openNumber'
import { owedDemo } from './owed'
import { PRODUCTS } from './products'
import { randomStream } from './randomStream'
import { registerOf } from './register'
import type { RegisterDocument } from './registerDocument'
import { settingAt } from './setting'
import { spareKits } from './spareKits'
import { strayEvents } from './strayEvents'
import { troubled } from './troubled'
import { wantedSamples } from './wantedSamples'
import type { WireEvent } from './wireEvent'

/**
 * An invented programme of eighteen months: twelve plants, three laboratories, about 6,000 samples of which about 150
 * are open, with every trouble that life brings. Everything is relative to `now` (ms UTC); the same `now` and `seed`
 * give the same document and the same events, in the order in which they became known.
 */
export function demoProgramme(
  now: number,
  seed: number,
): { register: RegisterDocument; events: WireEvent[] } {
  const unjudged = settingAt(now)
  const codes = kitCodes(randomStream(seed, 'kit codes'))
  const lived = history(unjudged, seed, codes)
  const setting = { ...unjudged, record: demoRecord(lived, unjudged) }
  const wanted = wantedSamples(setting, codes, randomStream(seed, 'wanted samples'))
  const past = calmed(lived, setting, randomStream(seed, 'calmed'))
  const batches = [...openNumber(past, wanted, setting, codes, randomStream(seed, 'open number')), ...wanted]
  const samples = troubled(batches, wanted, setting, randomStream(seed, 'troubles'))
  formCopies(samples, setting, randomStream(seed, 'form copies'))
  const strays = strayEvents(samples, setting, codes, randomStream(seed, 'strays'))
  const spares = spareKits(setting, codes, randomStream(seed, 'spare kits'))
  const owed = owedDemo(setting, codes)
  const drafts = new Set([...owed.drafts, ...samples.flatMap((sample) => sample.drafts), ...strays])
  const known = [...drafts].filter(
    (draft) => draft.knownAt <= now && (draft.isAhead || draft.time.earliestAt <= now),
  )
  return {
    register: registerOf(
      setting,
      [...samples.map(({ kit }) => kit), ...spares, ...owed.kits],
      [...PRODUCTS, ...owed.products],
      owed.entries,
    ),
    events: wireEvents(known),
  }
}
