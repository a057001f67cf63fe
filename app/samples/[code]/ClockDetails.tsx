import { useTranslate } from '#translate'
import { Deadline, Instant } from '@/app/ui/Instant'
import { findMilestoneZone, formatClock, formatLimit } from '@/app/ui/words/clock'
import { isCounted } from '@/lib/custody/placing'
import { type Clock, getClockState } from '@/lib/hold/clock'
import type { Milestone } from '@/lib/hold/milestone'
import { computeTurns, TIME_SHARES } from '@/lib/hold/standing'
import { findDeadlineZone } from '@/lib/schedule/deadline'
import { MILESTONE_LABELS } from '@/lib/schedule/milestoneText'
import type { SampleDossier } from '@/lib/store/read/sample/sampleDossier'
import styles from './ClockDetails.module.css'
import { DueCalculation } from './DueCalculation'

/** One clock in words: its limit, start, the sum that leads to its due, and its stop. */
export function ClockDetails({ clock, dossier }: { clock: Clock; dossier: SampleDossier }) {
  const t = useTranslate()
  const { asOf, plant, laboratory, dueCalculations: reckonings, sample } = dossier
  const { limit, startedAt, stoppedAt, dueAt } = clock
  const fromZone = findMilestoneZone(limit.from, plant.zone, laboratory.zone)
  const toZone = findMilestoneZone(limit.to, plant.zone, laboratory.zone)
  const reckoning = reckonings[limit.name]
  const zones = [reckoning?.zone ?? toZone, plant.zone, laboratory.zone] as const
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
        <dt>Limit</dt>
        <dd>
          {formatLimit(t, limit)}
          {limit.citation && <span className={styles.source}> Source: {limit.citation}</span>}
        </dd>
        {startedAt !== null && (
          <>
            <dt>Start</dt>
            <dd>
              {t(MILESTONE_LABELS[limit.from])} <Instant at={startedAt} zone={fromZone} now={asOf} />
              {reckoning?.zone && reckoning.zone !== fromZone && (
                <>
                  , which is <Instant at={startedAt} zone={reckoning.zone} now={asOf} />
                </>
              )}
              {isRange(limit.from) && ' (the earliest reading)'}
            </dd>
          </>
        )}
        {reckoning && (
          <>
            <dt>Sum</dt>
            <dd>
              <DueCalculation
                reckoning={reckoning}
                limit={limit}
                laboratory={laboratory}
                zone={fromZone}
                now={asOf}
              />
            </dd>
          </>
        )}
        {dueAt !== null && (
          <>
            <dt>Due</dt>
            <dd>
              <DueDate clock={clock} dossier={dossier} zone={dueZone} otherZone={otherZone} />
              <TurnTimes clock={clock} dossier={dossier} zone={dueZone} />
            </dd>
          </>
        )}
        <dt>{stoppedAt === null ? 'State' : 'Stop'}</dt>
        <dd>
          {stoppedAt !== null && (
            <>
              {t(MILESTONE_LABELS[limit.to])} <Instant at={stoppedAt} zone={toZone} now={asOf} />
              {isRange(limit.to) && ' (the latest reading)'};{' '}
            </>
          )}
          {formatClock(t, clock, asOf)}
        </dd>
      </dl>
    </section>
  )
}

/** When a running clock turns tight, and at risk: by the chance to miss its limit, or where nothing tells it by its time. */
function TurnTimes({ clock, dossier, zone }: { clock: Clock; dossier: SampleDossier; zone: string }) {
  const { asOf, thresholds, forecasts } = dossier
  if (getClockState(clock, asOf) !== 'running') return null
  const forecast = forecasts.find(({ limit }) => limit === clock.limit.name)
  const turns = forecast ?? computeTurns([clock])
  const shares = forecast ? thresholds : TIME_SHARES
  return (
    <span className={styles.source}>
      {' '}
      (tight {forecast ? 'from' : 'with'} {formatPercent(shares.tight)}
      {forecast ? ' chance to miss it' : ' of the time used'},{' '}
      <TurnTime at={turns.tightAt} zone={zone} now={asOf} />; at risk {forecast ? 'from' : 'with'}{' '}
      {formatPercent(shares.atRisk)}, <TurnTime at={turns.atRiskAt} zone={zone} now={asOf} />)
    </span>
  )
}

const formatPercent = (share: number) => `${Math.round(share * 1000) / 10}\u00A0%`

/** When it turns if nothing is reported until then. */
function TurnTime({ at, zone, now }: { at: number | null; zone: string; now: number }) {
  if (at === null) return <>not before it is due</>
  return at <= now ? <>so already</> : <Instant at={at} zone={zone} now={now} />
}

/** The due of a clock, in `otherZone` too; where it was extended, the first one struck through and what the extension says of itself. */
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
  const { asOf, sample } = dossier
  const { dueAt, firstDueAt, limit } = clock
  if (dueAt === null) return null
  const due = (
    <>
      <strong>
        <Deadline at={dueAt} zone={zone} now={asOf} />
      </strong>
      {otherZone && (
        <>
          , which is <Deadline at={dueAt} zone={otherZone} now={asOf} />
        </>
      )}
    </>
  )
  if (firstDueAt === null) return due
  const granting = sample.events.findLast(
    (placed) =>
      isCounted(placed) && placed.event.kind === 'extended' && placed.event.facts?.limit === limit.name,
  )
  const { approvedBy, reason } = granting?.event.facts ?? {}
  return (
    <>
      <s>
        <Deadline at={firstDueAt} zone={zone} now={asOf} />
      </s>{' '}
      extended to {due}
      {typeof approvedBy === 'string' && `, approved by ${approvedBy}`}
      {typeof reason === 'string' && `: ${reason}`}
    </>
  )
}
