import type { Milestone } from '@/lib/hold/milestone'
import { Chain, pickupHandover, SAME_DAY } from './chain'
import { Leg } from './leg'
import type { LaneRecord } from './record'
import { reporterOf } from './reporter'
import { levelsOf, type Stage, stageKind, type Way } from './stage'

/** One way that a chain may take, and how likely it is taken. */
export interface Course {
  chain: Chain
  service: string | null
  share: number
}

/** The chains of a record, each made once: those that end alike share their ends. */
export class Chains {
  readonly #record: LaneRecord
  readonly #chains = new Map<string, Chain | null>()

  constructor(record: LaneRecord) {
    this.#record = record
  }

  /**
   * The courses that a sample may take through `stages`: one, but where it has yet to be dispatched and no service is
   * named, one for each service that its plant has used to its laboratory. Null where nothing is known of a stage.
   */
  coursesOf(stages: readonly Stage[], way: Way): Course[] | null {
    const first = stages[0]
    if (!first) return null
    const isOpen = way.service === null && stageKind(first) === 'plant' && stages.some(isTransit)
    const shares = isOpen
      ? this.#record.servicesOf(way.plant, way.laboratory)
      : [{ service: way.service, share: 1 }]
    const courses: Course[] = []
    for (const { service, share } of shares) {
      const chain = this.#chainOf(stages, 0, { ...way, service })
      if (!chain) return null
      courses.push({ chain, service, share })
    }
    return courses
  }

  #chainOf(stages: readonly Stage[], index: number, way: Way): Chain | null {
    const stage = stages[index] as Stage
    const stop = (stages.at(-1) as Stage).to
    const key = keyOf(stage, stop, stages.length - index, way)
    const known = this.#chains.get(key)
    if (known !== undefined) return known
    const leg = this.#legOf(stage, way)
    const isLast = index === stages.length - 1
    const next = isLast ? null : this.#chainOf(stages, index + 1, way)
    const isHandover = !isLast && stage.to === 'dispatched'
    const { placeDays, times } = this.#record
    const handover = isHandover ? pickupHandover(way.plant, way.service, placeDays.places, times) : SAME_DAY
    const chain = leg.hasRecord && (isLast || next) ? new Chain(leg, next, handover) : null
    this.#chains.set(key, chain)
    return chain
  }

  #legOf(stage: Stage, way: Way): Leg {
    const { placeDays, words, times } = this.#record
    const place = reporterOf(stage.to, way)
    const days = placeDays.of(stage.to, place)
    const { fit, influences } = this.#record.of(stage)
    return new Leg({
      stage,
      place,
      levels: levelsOf(stage, way),
      fit,
      influences,
      days,
      word: words.of(stage.to, place, days),
      times: times.of(stage.to, place),
    })
  }
}

function isTransit(stage: Stage): boolean {
  return stageKind(stage) === 'transit'
}

/** What tells two chains apart: what is past, or of no concern to the stages left, is not in it. */
function keyOf(stage: Stage, stop: Milestone, left: number, way: Way): string {
  const { laboratory, plant, service } = way
  const kind = stageKind(stage)
  const parts =
    kind === 'laboratory' ? [laboratory] : [laboratory, plant, service === null ? '' : `+${service}`]
  return [stage.from, stage.to, stop, left, ...parts].join('\u0000')
}
