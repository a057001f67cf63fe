import { Instant } from '@/app/ui/Instant'
import type { Clock } from '@/lib/hold/clock'
import type { Milestone } from '@/lib/hold/milestone'
import { deadlineZone } from '@/lib/schedule/deadline'
import { HAPPENED } from '@/lib/schedule/milestoneWords'
import type { SampleDossier } from '@/lib/store/read/sample/sampleDossier'
import styles from './ClockSum.module.css'
import { clockWords, limitWords } from './clockWords'
import { Extension } from './Extension'
import { milestoneZone } from './milestoneZone'
import { Reckoned } from './Reckoned'
import { Turns } from './Turns'

/** One clock in words: its limit, start, the sum that leads to its due, and its stop. */
export function ClockSum({ clock, dossier }: { clock: Clock; dossier: SampleDossier }) {
  const { asOf, plant, laboratory, reckonings, sample } = dossier
  const { limit, startedAt, stoppedAt, dueAt } = clock
  const fromZone = milestoneZone(limit.from, plant.zone, laboratory.zone)
  const toZone = milestoneZone(limit.to, plant.zone, laboratory.zone)
  const reckoning = reckonings[limit.name]
  const zones = [reckoning?.zone ?? toZone, plant.zone, laboratory.zone] as const
  const dueZone = dueAt === null ? zones[0] : deadlineZone(dueAt, zones)
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
          {limitWords(limit)}
          {limit.citation && <span className={styles.source}> Source: {limit.citation}</span>}
        </dd>
        {startedAt !== null && (
          <>
            <dt>Start</dt>
            <dd>
              {HAPPENED[limit.from]} <Instant at={startedAt} zone={fromZone} now={asOf} />
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
              <Reckoned
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
              <Extension clock={clock} dossier={dossier} zone={dueZone} otherZone={otherZone} />
              <Turns clock={clock} dossier={dossier} zone={dueZone} />
            </dd>
          </>
        )}
        <dt>{stoppedAt === null ? 'State' : 'Stop'}</dt>
        <dd>
          {stoppedAt !== null && (
            <>
              {HAPPENED[limit.to]} <Instant at={stoppedAt} zone={toZone} now={asOf} />
              {isRange(limit.to) && ' (the latest reading)'};{' '}
            </>
          )}
          {clockWords(clock, asOf)}
        </dd>
      </dl>
    </section>
  )
}
