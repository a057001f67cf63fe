import type { ReactNode } from 'react'
import { useTranslate } from '#translate'
import { rich } from '@/app/ui/language/rich'
import { findStopTimeZone } from '@/app/ui/strip'
import { formatChance, formatLikelyDays } from '@/app/ui/words/chance'
import { formatStage } from '@/app/ui/words/clock'
import { formatDayNumber } from '@/app/ui/words/instant'
import type { Milestone } from '@/lib/hold/milestone'
import { stageKind } from '@/lib/lane/model/stage'
import type { Translate } from '@/lib/messages/translate'
import { AWAITED_LABELS } from '@/lib/schedule/milestoneText'
import type { RedactedForecast, SampleDossier } from '@/lib/store/read/sample/sampleDossier'

/** Why each running limit has the chance it has: the shipments behind it, and the share drawn from others. */
export function ForecastEvidence({ dossier }: { dossier: SampleDossier }) {
  const t = useTranslate()
  const { forecasts, sample, asOf, plant, laboratory } = dossier
  if (forecasts.length === 0) return null
  const findClock = ({ limit: name }: RedactedForecast) =>
    sample.clocks.find(({ limit }) => limit.name === name) ?? null
  return (
    <section>
      <h2>{t('samples.forecast.heading')}</h2>
      {forecasts.map((forecast) => (
        <LimitForecast
          key={forecast.limit}
          forecast={forecast}
          awaited={findClock(forecast)?.limit.to ?? 'loaded'}
          zone={findStopTimeZone(findClock(forecast), plant.zone, laboratory.zone)}
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
  awaited: Milestone
  zone: string
  asOf: number
}) {
  const t = useTranslate()
  const { p50, needsOpening, stages } = forecast
  const days = formatLikelyDays(t, forecast, zone, asOf)
  const milestone = t(AWAITED_LABELS[awaited])
  return (
    <div className="prose">
      <p>
        <MissChance forecast={forecast} />{' '}
        {days !== null && t('samples.forecast.likely', { milestone, days })}
        {days === null &&
          p50 !== null &&
          t('samples.forecast.median', { milestone, day: formatDayNumber(t, p50, zone, asOf) })}{' '}
        {needsOpening && t('samples.forecast.needsOpening')}
      </p>
      <ul>
        {stages.map((stage) => (
          <li key={`${stage.stage.from} ${stage.stage.to}`}>{formatEvidence(t, stage)}</li>
        ))}
      </ul>
    </div>
  )
}

/** The chance to miss a limit, with its uncertainty where that shows in the figures. */
function MissChance({ forecast: { limit, risk, low, high } }: { forecast: RedactedForecast }) {
  const t = useTranslate()
  const [chance, least, most] = [formatChance(t, risk), formatChance(t, low), formatChance(t, high)]
  const values = { name: limit, limit: (text: ReactNode) => <i>{text}</i>, chance }
  return least === most
    ? rich(t, 'samples.forecast.risk', values)
    : rich(t, 'samples.forecast.riskRange', { ...values, low: least, high: most })
}

/** The basis of one stage's estimate: whose data, how many shipments, and the share drawn from others. */
function formatEvidence(
  t: Translate,
  { stage, evidence, levels }: RedactedForecast['stages'][number],
): string {
  const { level, borrowedShare, unfadedConsignments } = evidence
  const kind = stageKind(stage)
  const isOwn = level !== null && level === levels[0]
  const values = { stage: formatStage(t, stage), kind }
  if (!isOwn && level !== null && kind === 'transit') return t('samples.evidence.service', values)
  if (!isOwn) return t('samples.evidence.pooled', values)
  const borrowed = Math.round(100 * borrowedShare)
  return unfadedConsignments === null
    ? t('samples.evidence.ownUncounted', { ...values, borrowed })
    : t('samples.evidence.own', { ...values, borrowed, count: Math.round(unfadedConsignments) })
}
