import { stringify } from 'csv-stringify/sync'
import { deriveSamples } from '@/lib/custody/assess'
import type { SampleWithEvents } from '@/lib/custody/sample'
import { judge } from '@/lib/judgement/judge'
import { ProgrammeIndex, type SampleScore } from '@/lib/judgement/programmeIndex'
import type { Journey } from '@/lib/lane/model/journey'
import { buildTransitModel } from '@/lib/lane/model/transitModel'
import { english } from '@/lib/messages/english'
import type { Actor } from '@/lib/schedule/act'
import { getLanePlaces } from '@/lib/store/ledger/lanePlaces'
import { buildJourney, computeKnownAt } from '@/lib/store/projection/buildJourney'
import { scoreSample } from '@/lib/store/projection/scoreSample'
import { getPace } from '@/lib/store/read/judged/programmeIndex'
import { getUsualOffice, toOfficeCalendar } from '@/lib/store/register/office'
import { runFileCommand } from './fileCommand'
import { type FileInputs, readInputs } from './fileInputs'

/**
 * What every sample needs next, from a register and a file of events, without a database: the same judgement as on pages and in
 * mails, with the programme’s office open from Monday to Friday in the zone of the first laboratory. Writes CSV, or JSON lines,
 * to standard output; act, actor, by and reason are empty where nobody has to do anything.
 * Exit 0; 1 on a conflict (no table); 2 if a file or an option cannot be used; 3 if lines were refused.
 */
const USAGE =
  'Usage: npm run -s judge -- --register register.json --events events.ndjson|events.csv|events.json --now 2026-11-10T12:00:00Z [--json]'

const COLUMNS = ['sample', 'standing', 'fitness', 'act', 'actor', 'by', 'reason'] as const

runFileCommand(() => {
  const inputs = readInputs(USAGE)
  if (!inputs) return 1
  const { register, kits, events, now, json, hasRefused } = inputs
  const samples = deriveSamples(events, kits, register, now)
  const index = indexFiles(samples, inputs)
  const rows = samples.map((sample) => {
    const { standing, fitness, acts } = judge(sample, index)
    const [lead] = acts
    return {
      sample: sample.kit.code,
      standing,
      fitness,
      act: lead?.act ?? '',
      actor: lead ? formatActor(lead.actor) : '',
      by: lead?.byAt == null ? '' : new Date(lead.byAt).toISOString(),
      reason: lead ? english.message(lead.why) : '',
    }
  })
  process.stdout.write(
    json
      ? rows.map((row) => `${JSON.stringify(row)}\n`).join('')
      : stringify(rows, { header: true, columns: [...COLUMNS] }),
  )
  return hasRefused ? 3 : 0
})

function indexFiles(
  samples: readonly SampleWithEvents[],
  { register, events, now }: FileInputs,
): ProgrammeIndex {
  const knownAt = computeKnownAt(events)
  const journeys = new Map<string, Journey>(
    samples.map((sample) => [sample.kit.code, buildJourney(sample, knownAt)]),
  )
  const model = buildTransitModel([...journeys.values()], getLanePlaces(register), now)
  const scores = samples.flatMap((sample): [string, SampleScore][] => {
    const { code } = sample.kit
    const journey = journeys.get(code)
    if (sample.settled !== null || !journey) return []
    const { clocks } = sample
    const score = scoreSample({ journey, clocks }, register.getThresholds(sample.protocol), model, now)
    if (score === null) return []
    const { tightAt, atRiskAt, binding } = score
    return [[code, { times: { tightAt, atRiskAt }, needsOpening: binding?.needsOpening ?? false }]]
  })
  const office = toOfficeCalendar(getUsualOffice(register))
  return new ProgrammeIndex({ register, samples, pace: getPace(model), office, now }, new Map(scores))
}

/** `plant P1`, `laboratory L1`, `programme`. */
function formatActor(actor: Actor): string {
  return actor.by === 'programme' ? actor.by : `${actor.by} ${actor.code}`
}
