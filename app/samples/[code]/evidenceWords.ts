import { capitalised, countOf, numberWords } from '@/app/ui/words/numberWords'
import { stageKind } from '@/lib/lane/model/stage'
import type { ToldForecast } from '@/lib/store/read/sample/toldForecast'
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
  const parts = Math.round(100 * borrowedShare)
  const borrowed =
    parts === 0
      ? 'next to nothing is borrowed'
      : `of a hundred parts ${numberWords(parts)} ${parts === 1 ? 'is' : 'are'} borrowed`
  const counted =
    unfadedConsignments === null ? 'the record' : countOf(Math.round(unfadedConsignments), UNIT[kind])
  return `${name}: from ${counted} of ${OWN[kind]}; ${borrowed} from ${whole}.`
}

const OWN = { plant: 'this plant', transit: 'this lane', laboratory: 'this laboratory' }
const WHOLE = {
  plant: 'all plants',
  transit: 'all lanes',
  laboratory: 'all laboratories',
}
const UNIT = { plant: 'consignment', transit: 'shipment', laboratory: 'consignment' }
