import { deduplicateEvents, deriveSamples } from '@/lib/custody/assess'
import type { ReadEvent } from '@/lib/custody/event'
import type { Flag } from '@/lib/custody/flags'
import { parseRegister } from '@/lib/custody/parseRegister'
import { placeEvents } from '@/lib/custody/placing'
import { listEntries, Register, toKit } from '@/lib/custody/register'
import type { Sample } from '@/lib/custody/sample'
import type { Standing } from '@/lib/hold/standing'
import { readEvents } from '@/lib/intake/formats/readEvents'
import { computeKnownAt } from '@/lib/store/projection/buildJourney'
import { generateDemoProgramme } from '@/prisma/demo/demoProgramme'
import type { RegisterDocument } from '@/prisma/demo/registerDocument'
import type { WireEvent } from '@/prisma/demo/wireEvent'
import { scoredSamples } from '@/tests/cases/expectedScores'

/** A demo programme read and judged by the product itself, as its intake and its core see it. */
export interface AssessedDemo {
  now: number
  register: RegisterDocument
  wire: WireEvent[]
  events: ReadEvent[]
  samples: Sample[]
  open: Sample[]
  /** By kit code: of open samples by their chance to miss a limit, as the pages have it. */
  standings: ReadonlyMap<string, Standing>
  unplaced: ReadEvent[]
  /** Every sentence of the register's or the intake's refusals. */
  refusals: string[]
}

export function assessDemo(nowText: string, seed = 1): AssessedDemo {
  const now = Date.parse(nowText)
  const { register: written, events: wire } = generateDemoProgramme(now, seed)
  const { document, problems } = parseRegister(JSON.parse(JSON.stringify(written)))
  if (!document) throw new Error(problems.map(({ pointer, detail }) => `${pointer}: ${detail}`).join('\n'))
  const register = new Register(listEntries(document, Number.NEGATIVE_INFINITY))
  const body = wire.map((event) => JSON.stringify(event)).join('\n')
  const items = readEvents(body, 'ndjson', (code) => register.getZone(code))
  const refusals = items.flatMap(({ problem }) => (problem ? [JSON.stringify(problem)] : []))
  const { events, conflicts } = deduplicateEvents(items.flatMap(({ event }) => event ?? []))
  refusals.push(...conflicts.map(({ key }) => `conflict on ${key}`))
  const kits = new Map(document.kits.map((content) => [content.code, toKit(content)]))
  const samples = deriveSamples(events, kits, register, now)
  const { unplaced } = placeEvents(events, (code) => kits.has(code), now)
  const open = samples.filter(({ settled }) => settled === null)
  // What does not say when it was written came to us when the demo was put in.
  const knownAt = computeKnownAt(events.map((event) => ({ ...event, receivedAt: now })))
  let standings: AssessedDemo['standings'] | undefined
  return {
    now,
    register: written,
    wire,
    events,
    samples,
    open,
    // Scored when asked for: that takes as long as all the rest of the judging.
    get standings() {
      standings ??= new Map(
        scoredSamples(samples, knownAt, register, now).map(({ sample, standing }) => [
          sample.kit.code,
          standing,
        ]),
      )
      return standings
    },
    unplaced: [...unplaced],
    refusals,
  }
}

export function getStanding({ standings }: AssessedDemo, { kit }: Sample): string {
  return standings.get(kit.code) ?? 'none'
}

export function filterFlagged(samples: Sample[], kind: Flag['kind']): Sample[] {
  return samples.filter(({ flags }) => flags.some((flag) => flag.kind === kind))
}

/** How many of each text there are. */
export function countTexts(texts: string[]): Record<string, number> {
  const counts: Record<string, number> = {}
  for (const text of texts) counts[text] = (counts[text] ?? 0) + 1
  return counts
}
