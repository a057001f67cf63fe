import { stopZone } from '@/app/ui/stripOf'
import { chanceWords, likelyDays } from '@/app/ui/words/chanceWords'
import { stageName } from '@/app/ui/words/clockWords'
import { dayNumberWords } from '@/app/ui/words/instantWords'
import { countOf, numberWords } from '@/app/ui/words/numberWords'
import { stageKind } from '@/lib/lane/model/stage'
import { capitalised } from '@/lib/schedule/firstLetter'
import { AWAITED } from '@/lib/schedule/milestoneWords'
import type { SampleDossier, ToldForecast } from '@/lib/store/read/sample/sampleDossier'

/** Why each running limit has the chance it has: the records behind it, and what was borrowed from others. */
export function WhyThisChance({ dossier }: { dossier: SampleDossier }) {
  const { forecasts, sample, asOf, plant, laboratory } = dossier
  if (forecasts.length === 0) return null
  const clockOf = ({ limit: name }: ToldForecast) =>
    sample.clocks.find(({ limit }) => limit.name === name) ?? null
  return (
    <section>
      <h2>Will it make it?</h2>
      {forecasts.map((forecast) => (
        <ForLimit
          key={forecast.limit}
          forecast={forecast}
          awaited={AWAITED[clockOf(forecast)?.limit.to ?? 'loaded']}
          zone={stopZone(clockOf(forecast), plant.zone, laboratory.zone)}
          asOf={asOf}
        />
      ))}
    </section>
  )
}

function ForLimit({
  forecast,
  awaited,
  zone,
  asOf,
}: {
  forecast: ToldForecast
  awaited: string
  zone: string
  asOf: number
}) {
  const days = likelyDays(forecast, zone, asOf)
  const likely =
    days !== null
      ? `Likely ${awaited} ${days}.`
      : forecast.p50 !== null
        ? `As likely as not ${awaited} by ${dayNumberWords(forecast.p50, zone, asOf)}.`
        : ''
  return (
    <div className="prose">
      <p>
        <i>{forecast.limit}</i>: {chanceWords(forecast.risk)} to miss it{leftOpen(forecast)}. {likely}
        {forecast.needsOpening &&
          ' No receiving hours are left before it is due: only an opening out of hours could save it.'}
      </p>
      <ul>
        {forecast.stages.map((stage) => (
          <li key={`${stage.stage.from} ${stage.stage.to}`}>{evidenceWords(stage)}</li>
        ))}
      </ul>
    </div>
  )
}

/** Between which chances the record leaves it open; nothing where they are told alike. */
function leftOpen({ low, high }: ToldForecast): string {
  const [least, most] = [chanceWords(low), chanceWords(high)]
  return least === most ? '' : `; what the record leaves open, from ${least} to ${most}`
}

/** What one part of a forecast rests on, as a sentence: whose record, how many shipments, how much was borrowed. */
function evidenceWords(one: ToldForecast['stages'][number]): string {
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
