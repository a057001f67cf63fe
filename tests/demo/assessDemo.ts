import { deduplicateEvents, deriveSamples } from '@/lib/custody/assess'
import type { ReadEvent } from '@/lib/custody/event'
import type { Flag } from '@/lib/custody/flags'
import { parseRegister } from '@/lib/custody/parseRegister'
import { placeEvents } from '@/lib/custody/placing'
import { listEntries, Register, toKit } from '@/lib/custody/register'
import type { Sample, SampleWithEvents } from '@/lib/custody/sample'
import type { Standing } from '@/lib/hold/standing'
import { readEvents } from '@/lib/intake/formats/readEvents'
import { computeKnownAt } from '@/lib/store/projection/buildJourney'
import { generateDemoProgramme } from '@/prisma/demo/demoProgramme'
import type { RegisterDocument } from '@/prisma/demo/registerDocument'
import type { WireEvent } from '@/prisma/demo/wireEvent'
import { scoredSamples } from '@/tests/cases/expectedScores'

/** A demo programme, read and judged by the product's own intake and core. */
export interface AssessedDemo {
  now: number
  register: RegisterDocument
  wire: WireEvent[]
  events: ReadEvent[]
  samples: SampleWithEvents[]
  open: SampleWithEvents[]
  /** Standings by kit code; of open samples by their chance to miss a limit, as on the pages. */
  standings: ReadonlyMap<string, Standing>
  unplaced: ReadEvent[]
  /** Every sentence of a refusal by the register or the intake. */
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
  // An event without `reportedAt` became known when the demo was loaded.
  const knownAt = computeKnownAt(events.map((event) => ({ ...event, receivedAt: now })))
  let standings: AssessedDemo['standings'] | undefined
  return {
    now,
    register: written,
    wire,
    events,
    samples,
    open,
    // Computed on demand, since scoring takes as long as all other judging.
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

export function countTexts(texts: string[]): Record<string, number> {
  const counts: Record<string, number> = {}
  for (const text of texts) counts[text] = (counts[text] ?? 0) + 1
  return counts
}
