import { stageKind } from '@/lib/lane/stage'
import type { ToldForecast } from '@/lib/store'
import { chanceWords } from './chanceWords'
import { capitalised, countOf } from './numberWords'
import { stageName } from './stageNames'

/** What one part of a forecast rests on, as a sentence: whose record, how many shipments, how much was borrowed. */
export function evidenceWords(one: ToldForecast['stages'][number]): string {
  const name = capitalised(stageName(one.stage))
  const { level, borrowedShare, unfadedConsignments } = one.evidence
  const kind = stageKind(one.stage)
  const own = level !== null && level === one.levels[0]
  const whole = WHOLE[kind]
  if (!own && (level === null || kind !== 'transit'))
    return `${name}: ${OWN[kind]} has no record yet, so this is the record of ${whole}, as a whole.`
  if (!own)
    return `${name}: this lane has no record yet, so this is the record of its service over all lanes, as a whole.`
  const borrowed =
    borrowedShare < 0.005
      ? 'nothing is borrowed'
      : `${chanceWords(borrowedShare).replace(' in 100', ' parts in 100')} are borrowed`
  const counted = unfadedConsignments === null ? 'the record' : countOf(unfadedConsignments, UNIT[kind])
  return `${name}: from ${counted} of ${OWN[kind]}; ${borrowed} from ${whole}.`
}

const OWN = { plant: 'this plant', transit: 'this lane', laboratory: 'this laboratory' }
const WHOLE = {
  plant: 'all plants',
  transit: 'all lanes',
  laboratory: 'all laboratories',
}
const UNIT = { plant: 'consignment', transit: 'shipment', laboratory: 'consignment' }
