import type { LaneFilter } from '@/lib/store/read/lanes/laneList'
import type { LanePage } from '@/lib/store/read/lanes/lanePage'

type Ends = Pick<LanePage, 'plant' | 'laboratory' | 'service'>

/** Stands in an address where no service is named; a code that begins with it is written with one more. */
const NONE = '~'

/** The address of a lane's page. */
export function laneHref({ plant, laboratory, service }: Ends): string {
  const last = service === null ? NONE : service.code.startsWith(NONE) ? NONE + service.code : service.code
  return `/lanes/${[plant.code, laboratory.code, last].map(encodeURIComponent).join('/')}`
}

/** The lane that an address names, by codes; null where it cannot be read. */
export function laneNamed(params: Record<'plant' | 'laboratory' | 'service', string>) {
  try {
    const [plant, laboratory, last] = [params.plant, params.laboratory, params.service].map(
      decodeURIComponent,
    )
    if (plant === undefined || laboratory === undefined || last === undefined) return null
    const service = last === NONE ? null : last.startsWith(NONE) ? last.slice(1) : last
    return { plant, laboratory, service }
  } catch {
    return null
  }
}

const LONGEST = 100

/** The lanes that an address asks for. */
export function laneFilter(params: Record<string, string | string[] | undefined>): LaneFilter {
  const value = (key: keyof LaneFilter) => [params[key]].flat()[0]?.trim().slice(0, LONGEST) || undefined
  return { plant: value('plant'), laboratory: value('laboratory'), service: value('service') }
}
