import { useTranslate } from '#translate'
import { findStopTimeZone } from '@/app/ui/strip'
import { formatChance, formatLikelyDays } from '@/app/ui/words/chanceText'
import { formatStage } from '@/app/ui/words/clock'
import { formatDayNumber } from '@/app/ui/words/instant'
import { spellCount, spellNumber } from '@/app/ui/words/number'
import { stageKind } from '@/lib/lane/model/stage'
import type { Translate } from '@/lib/messages/translate'
import { capitalised } from '@/lib/schedule/firstLetter'
import { AWAITED_LABELS } from '@/lib/schedule/milestoneText'
import type { RedactedForecast, SampleDossier } from '@/lib/store/read/sample/sampleDossier'

/** Why each running limit has the chance it has: the records behind it, and what was borrowed from others. */
export function ForecastEvidence({ dossier }: { dossier: SampleDossier }) {
  const t = useTranslate()
  const { forecasts, sample, asOf, plant, laboratory } = dossier
  if (forecasts.length === 0) return null
  const clockOf = ({ limit: name }: RedactedForecast) =>
    sample.clocks.find(({ limit }) => limit.name === name) ?? null
  return (
    <section>
      <h2>Will it make it?</h2>
      {forecasts.map((forecast) => (
        <LimitForecast
          key={forecast.limit}
          forecast={forecast}
          awaited={t(AWAITED_LABELS[clockOf(forecast)?.limit.to ?? 'loaded'])}
          zone={findStopTimeZone(clockOf(forecast), plant.zone, laboratory.zone)}
          asOf={asOf}
        />
      ))}
    </section>
  )
}

function LimitForecast({
  forecast,
  awaited,
  zone,
  asOf,
}: {
  forecast: RedactedForecast
  awaited: string
  zone: string
  asOf: number
}) {
  const t = useTranslate()
  const days = formatLikelyDays(t, forecast, zone, asOf)
  const likely =
    days !== null
      ? `Likely ${awaited} ${days}.`
      : forecast.p50 !== null
        ? `As likely as not ${awaited} by ${formatDayNumber(t, forecast.p50, zone, asOf)}.`
        : ''
  return (
    <div className="prose">
      <p>
        <i>{forecast.limit}</i>: {formatChance(t, forecast.risk)} to miss it{formatUncertainty(t, forecast)}.{' '}
        {likely}
        {forecast.needsOpening &&
          ' No receiving hours are left before it is due: only an opening out of hours could save it.'}
      </p>
      <ul>
        {forecast.stages.map((stage) => (
          <li key={`${stage.stage.from} ${stage.stage.to}`}>{formatEvidence(t, stage)}</li>
        ))}
      </ul>
    </div>
  )
}

/** Between which chances the record leaves it open; nothing where they are told alike. */
function formatUncertainty(t: Translate, { low, high }: RedactedForecast): string {
  const [least, most] = [formatChance(t, low), formatChance(t, high)]
  return least === most ? '' : `; what the record leaves open, from ${least} to ${most}`
}

/** What one part of a forecast rests on, as a sentence: whose record, how many shipments, how much was borrowed. */
function formatEvidence(t: Translate, one: RedactedForecast['stages'][number]): string {
  const name = capitalised(formatStage(t, one.stage))
  const { level, borrowedShare, unfadedConsignments } = one.evidence
  const kind = stageKind(one.stage)
  const own = level !== null && level === one.levels[0]
  const whole = POOLED_SOURCE[kind]
  if (!own && (level === null || kind !== 'transit'))
    return `${name}: ${OWN_SOURCE[kind]} has no record yet, so this is the record of ${whole}, as a whole.`
  if (!own)
    return `${name}: this lane has no record yet, so this is the record of its service over all lanes, as a whole.`
  const parts = Math.round(100 * borrowedShare)
  const borrowed =
    parts === 0
      ? 'next to nothing is borrowed'
      : `of a hundred parts ${spellNumber(t, parts)} ${parts === 1 ? 'is' : 'are'} borrowed`
  const counted =
    unfadedConsignments === null
      ? 'the record'
      : spellCount(t, Math.round(unfadedConsignments), COUNTED_UNIT[kind])
  return `${name}: from ${counted} of ${OWN_SOURCE[kind]}; ${borrowed} from ${whole}.`
}

const OWN_SOURCE = { plant: 'this plant', transit: 'this lane', laboratory: 'this laboratory' }
const POOLED_SOURCE = {
  plant: 'all plants',
  transit: 'all lanes',
  laboratory: 'all laboratories',
}

const COUNTED_UNIT = { plant: 'consignment', transit: 'shipment', laboratory: 'consignment' }
