import { type Clock, stateAt } from '@/lib/hold/clock'
import { turnsOf } from '@/lib/hold/standing'
import type { SampleDossier } from '@/lib/store'
import styles from './ClockSum.module.css'
import { Instant } from './Instant'

/** When a running clock turns tight, and at risk. */
export function Turns({ clock, dossier, zone }: { clock: Clock; dossier: SampleDossier; zone: string }) {
  const { asOf, thresholds } = dossier
  const { tightAt, atRiskAt } = turnsOf([clock], thresholds)
  if (tightAt === null || atRiskAt === null || stateAt(clock, asOf) !== 'running') return null
  const percent = (share: number) => `${Math.round(share * 100)} %`
  return (
    <span className={styles.source}>
      {' '}
      (tight with {percent(thresholds.tight)} of the time used,{' '}
      <Instant at={tightAt} zone={zone} now={asOf} />; at risk with {percent(thresholds.atRisk)},{' '}
      <Instant at={atRiskAt} zone={zone} now={asOf} />)
    </span>
  )
}
