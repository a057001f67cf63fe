import { useTranslate } from '#translate'
import { Deadline, Instant } from '@/app/ui/Instant'
import { rich } from '@/app/ui/language/rich'
import { findMilestoneZone, formatClock, formatLimit } from '@/app/ui/words/clock'
import { isCounted } from '@/lib/custody/placing'
import { type Clock, getClockState } from '@/lib/hold/clock'
import type { Milestone } from '@/lib/hold/milestone'
import { computeStandingTimes, TIME_SHARES } from '@/lib/hold/standing'
import { getOffset } from '@/lib/hold/zone'
import { findDeadlineZone } from '@/lib/schedule/deadline'
import { MILESTONE_LABELS } from '@/lib/schedule/milestoneText'
import type { SampleDossier } from '@/lib/store/read/sample/sampleDossier'
import styles from './ClockDetails.module.css'
import { DueCalculation } from './DueCalculation'

/** One clock: its limit, its start, the calculation of its due, and its stop. */
export function ClockDetails({
  clock,
  dossier,
  isUnfit,
}: {
  clock: Clock
  dossier: SampleDossier
  /** The sample proves nothing: nobody has to know when it would be at risk. */
  isUnfit: boolean
}) {
  const t = useTranslate()
  const { asOf, plant, laboratory, dueCalculations, sample } = dossier
  const { limit, startedAt, stoppedAt, dueAt, earliestStopAt } = clock
  const fromZone = findMilestoneZone(limit.from, plant.zone, laboratory.zone)
  const toZone = findMilestoneZone(limit.to, plant.zone, laboratory.zone)
  const calculation = dueCalculations[limit.name]
  const zones = [calculation?.zone ?? toZone, plant.zone, laboratory.zone] as const
  const dueZone = dueAt === null ? zones[0] : findDeadlineZone(dueAt, zones)
  const otherZone = [plant.zone, laboratory.zone].find((zone) => zone !== dueZone)
  const isRange = (milestone: Milestone) => {
    const reading = sample.history.milestones.get(milestone)
    return reading !== undefined && reading.earliestAt !== reading.latestAt
  }
  return (
    <section className={styles.clock}>
      <h3>
        <i>{limit.name}</i>
      </h3>
      <dl>
        <dt>{t('samples.clock.limit')}</dt>
        <dd>
          {formatLimit(t, limit)}
          {limit.extendable === false && ` ${t('samples.clock.notExtendable')}`}
          {limit.citation && (
            <span className={styles.source}> {t('samples.clock.source', { citation: limit.citation })}</span>
          )}
        </dd>
        {startedAt !== null && (
          <>
            <dt>{t('samples.clock.start')}</dt>
            <dd>
              <MilestoneTime
                milestone={limit.from}
                at={startedAt}
                zone={fromZone}
                otherZone={calculation?.zone}
                reading={isRange(limit.from) ? 'earliest' : 'only'}
                now={asOf}
              />
            </dd>
          </>
        )}
        {calculation && (
          <>
            <dt>{t('samples.clock.calculation')}</dt>
            <dd>
              <DueCalculation
                calculation={calculation}
                limit={limit}
                laboratory={laboratory}
                zone={fromZone}
                now={asOf}
              />
            </dd>
          </>
        )}
        {earliestStopAt !== null && (
          <>
            <dt>{t('samples.clock.earliestStop')}</dt>
            <dd>
              {rich(t, 'samples.clock.earliestStopTime', {
                time: <Instant at={earliestStopAt} zone={calculation?.zone ?? toZone} now={asOf} />,
                reading: isRange(limit.from) ? 'latest' : 'only',
              })}
            </dd>
          </>
        )}
        {dueAt !== null && (
          <>
            <dt>{t('samples.clock.due')}</dt>
            <dd>
              <DueDate clock={clock} dossier={dossier} zone={dueZone} otherZone={otherZone} />
              {!isUnfit && <RiskTimes clock={clock} dossier={dossier} zone={dueZone} />}
            </dd>
          </>
        )}
        {stoppedAt !== null && (
          <>
            <dt>{t('samples.clock.stop')}</dt>
            <dd>
              <MilestoneTime
                milestone={limit.to}
                at={stoppedAt}
                zone={toZone}
                reading={isRange(limit.to) ? 'latest' : 'only'}
                now={asOf}
              />
            </dd>
          </>
        )}
        <dt>{t('samples.clock.state')}</dt>
        <dd>{formatClock(t, clock, asOf)}</dd>
      </dl>
    </section>
  )
}

/** A milestone with its time, also in `otherZone` if its clocks differ then. */
function MilestoneTime({
  milestone,
  at,
  zone,
  otherZone,
  reading,
  now,
}: {
  milestone: Milestone
  at: number
  zone: string
  otherZone?: string | null | undefined
  reading: 'earliest' | 'latest' | 'only'
  now: number
}) {
  const t = useTranslate()
  const values = {
    milestone: t(MILESTONE_LABELS[milestone]),
    time: <Instant at={at} zone={zone} now={now} />,
    reading,
  }
  return otherZone && getOffset(at, otherZone) !== getOffset(at, zone)
    ? rich(t, 'samples.clock.timeTwice', { ...values, other: <Instant at={at} zone={otherZone} now={now} /> })
    : rich(t, 'samples.clock.time', values)
}

/** When a running clock becomes tight and at risk: by its chance to miss, or without a forecast by the time used. */
function RiskTimes({ clock, dossier, zone }: { clock: Clock; dossier: SampleDossier; zone: string }) {
  const t = useTranslate()
  const { asOf, thresholds, forecasts } = dossier
  if (getClockState(clock, asOf) !== 'running') return null
  const forecast = forecasts.find(({ limit }) => limit === clock.limit.name)
  const times = forecast ?? computeStandingTimes([clock])
  const shares = forecast ? thresholds : TIME_SHARES
  const percent = (share: number) => t('chance.percent', { percent: Math.round(share * 1000) / 10 })
  return (
    <span className={styles.turns}>
      {rich(t, forecast ? 'samples.clock.turnsByChance' : 'samples.clock.turnsByTime', {
        tight: percent(shares.tight),
        tightAt: <RiskTime at={times.tightAt} zone={zone} now={asOf} />,
        atRisk: percent(shares.atRisk),
        atRiskAt: <RiskTime at={times.atRiskAt} zone={zone} now={asOf} />,
      })}
    </span>
  )
}

/** When a clock becomes tight or at risk if nothing is reported until then. */
function RiskTime({ at, zone, now }: { at: number | null; zone: string; now: number }) {
  const t = useTranslate()
  if (at === null) return t('samples.clock.turnNever')
  return at <= now ? t('samples.clock.turnAlready') : <Instant at={at} zone={zone} now={now} />
}

/** The due of a clock, in `otherZone` too; an extended clock shows its first due struck through, who approved it and why. */
function DueDate({
  clock,
  dossier,
  zone,
  otherZone,
}: {
  clock: Clock
  dossier: SampleDossier
  zone: string
  otherZone: string | undefined
}) {
  const t = useTranslate()
  const { asOf, sample } = dossier
  const { dueAt, firstDueAt, limit } = clock
  if (dueAt === null) return null
  const first = (
    <strong>
      <Deadline at={dueAt} zone={zone} now={asOf} />
    </strong>
  )
  const due =
    otherZone && getOffset(dueAt, otherZone) !== getOffset(dueAt, zone)
      ? rich(t, 'samples.clock.dueTwice', {
          due: first,
          other: <Deadline at={dueAt} zone={otherZone} now={asOf} />,
        })
      : first
  if (firstDueAt === null) return due
  const granting = sample.events.findLast(
    (placed) =>
      isCounted(placed) && placed.event.kind === 'extended' && placed.event.facts?.limit === limit.name,
  )
  const { approvedBy, reason } = granting?.event.facts ?? {}
  return (
    <>
      {rich(t, 'samples.clock.extended', {
        first: (text) => <s>{text}</s>,
        firstDue: <Deadline at={firstDueAt} zone={zone} now={asOf} />,
        due,
      })}{' '}
      {typeof approvedBy === 'string' && t('samples.clock.approvedBy', { name: approvedBy })}{' '}
      {typeof reason === 'string' && t('samples.clock.extensionReason', { reason })}
    </>
  )
}
