import type { LaneFilter } from '@/lib/store/read/lanes/laneList'
import type { LanePage } from '@/lib/store/read/lanes/lanePage'

type Ends = Pick<LanePage, 'plant' | 'laboratory' | 'service'>

/** Stands for an unnamed service in an address; a code that begins with it gets one more. */
const NO_SERVICE = '~'

export function laneHref({ plant, laboratory, service }: Ends): string {
  const last =
    service === null
      ? NO_SERVICE
      : service.code.startsWith(NO_SERVICE)
        ? NO_SERVICE + service.code
        : service.code
  return `/lanes/${[plant.code, laboratory.code, last].map(encodeURIComponent).join('/')}`
}

/** The lane that an address names; null if the address is malformed. */
export function parseLaneAddress(params: Record<'plant' | 'laboratory' | 'service', string>) {
  try {
    const [plant, laboratory, last] = [params.plant, params.laboratory, params.service].map(
      decodeURIComponent,
    )
    if (plant === undefined || laboratory === undefined || last === undefined) return null
    const service = last === NO_SERVICE ? null : last.startsWith(NO_SERVICE) ? last.slice(1) : last
    return { plant, laboratory, service }
  } catch {
    return null
  }
}

const MAX_LENGTH = 100

export function parseLaneFilter(params: Record<string, string | string[] | undefined>): LaneFilter {
  const value = (key: keyof LaneFilter) => [params[key]].flat()[0]?.trim().slice(0, MAX_LENGTH) || undefined
  return { plant: value('plant'), laboratory: value('laboratory'), service: value('service') }
}
