import { Instant } from '@/app/ui/Instant'
import { type Clock, stateAt } from '@/lib/hold/clock'
import { TIME_SHARES, turnsOf } from '@/lib/hold/standing'
import type { SampleDossier } from '@/lib/store/read/sample/sampleDossier'
import styles from './ClockSum.module.css'

/** When a running clock turns tight, and at risk: by the chance to miss its limit, or where nothing tells it by its time. */
export function Turns({ clock, dossier, zone }: { clock: Clock; dossier: SampleDossier; zone: string }) {
  const { asOf, thresholds, forecasts } = dossier
  if (stateAt(clock, asOf) !== 'running') return null
  const forecast = forecasts.find(({ limit }) => limit === clock.limit.name)
  const turns = forecast ?? turnsOf([clock])
  const shares = forecast ? thresholds : TIME_SHARES
  return (
    <span className={styles.source}>
      {' '}
      (tight {forecast ? 'from' : 'with'} {percent(shares.tight)}
      {forecast ? ' chance to miss it' : ' of the time used'},{' '}
      <Turn at={turns.tightAt} zone={zone} now={asOf} />; at risk {forecast ? 'from' : 'with'}{' '}
      {percent(shares.atRisk)}, <Turn at={turns.atRiskAt} zone={zone} now={asOf} />)
    </span>
  )
}

const percent = (share: number) => `${Math.round(share * 1000) / 10}\u00A0%`

/** When it turns if nothing is reported until then. */
function Turn({ at, zone, now }: { at: number | null; zone: string; now: number }) {
  if (at === null) return <>not before it is due</>
  return at <= now ? <>so already</> : <Instant at={at} zone={zone} now={now} />
}
