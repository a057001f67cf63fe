import { scaleSqrt } from 'd3-scale'
import type { Score } from '@/lib/lane/backtest/scoreboard'
import styles from './ReliabilityPicture.module.css'
import { percentWords } from './scoreWords'

const SIZE = 400
const MARGIN = { left: 66, bottom: 44, top: 12, right: 24 }
/** A root scale: most forecasts say little risk, and 5 and 20 % are where standings turn. */
const across = scaleSqrt([0, 1], [MARGIN.left, SIZE - MARGIN.right])
const up = scaleSqrt([0, 1], [SIZE - MARGIN.bottom, MARGIN.top])
const TICKS = [0, 0.05, 0.2, 0.5, 1]

/** What was said, across, against what came, upwards, each bin with its 90 % interval. On the slope both are the same. */
export function ReliabilityPicture({ bins }: { bins: Score['bins'] }) {
  const most = Math.max(...bins.map(({ consignments }) => consignments))
  return (
    <svg
      className={styles.picture}
      viewBox={`0 0 ${SIZE} ${SIZE}`}
      role="img"
      aria-label="What was said against what came; the table says the same"
    >
      {TICKS.map((tick) => (
        <g key={tick}>
          <line className={styles.grid} x1={across(tick)} x2={across(tick)} y1={up(0)} y2={up(1)} />
          <line className={styles.grid} x1={across(0)} x2={across(1)} y1={up(tick)} y2={up(tick)} />
          <text className={styles.tick} x={across(tick)} y={up(0) + 16} textAnchor="middle">
            {percentWords(tick)}
          </text>
          <text className={styles.tick} x={across(0) - 6} y={up(tick) + 4} textAnchor="end">
            {percentWords(tick)}
          </text>
        </g>
      ))}
      <line className={styles.slope} x1={across(0)} y1={up(0)} x2={across(1)} y2={up(1)} />
      {bins.map((bin) => (
        <g key={bin.from} data-off={isOff(bin)} className={styles.bin}>
          <line x1={across(bin.said)} x2={across(bin.said)} y1={up(bin.low)} y2={up(bin.high)} />
          <circle cx={across(bin.said)} cy={up(bin.came)} r={2.5 + 5 * Math.sqrt(bin.consignments / most)} />
        </g>
      ))}
      <text className={styles.title} x={across(1)} y={SIZE - 6} textAnchor="end">
        chance said of being late
      </text>
      <text className={styles.title} x={-up(1)} y={14} textAnchor="end" transform="rotate(-90)">
        share that was late
      </text>
    </svg>
  )
}

/** Whether what was said lies outside of what the share that came may be. */
export function isOff({ said, low, high }: Score['bins'][number]): boolean {
  return said < low || said > high
}
