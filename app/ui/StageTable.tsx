import type { PlantPage } from '@/lib/store'
import { tableDuration } from '../words/durationWords'
import { stageName } from '../words/stageNames'
import styles from './Table.module.css'
import { stretched } from './timeLeftScale'

/** How long each stage of a plant's samples took: the middle one, and what nine of ten stayed within. */
export function StageTable({ stages }: { stages: PlantPage['stages'] }) {
  const longest = Math.max(...stages.map(({ ninetiethHours }) => stretched(ninetiethHours)), stretched(24))
  const share = (hours: number) => `${((stretched(hours) / longest) * 96 + 1).toFixed(1)}%`
  return (
    <table className={styles.table}>
      <caption>Over the samples whose kits went out in the last twelve months</caption>
      <thead>
        <tr>
          <th scope="col">Stage</th>
          <th scope="col" className={styles.number}>
            Half within
          </th>
          <th scope="col" className={styles.number}>
            Nine of ten within
          </th>
          <th scope="col" className={styles.picture}>
            <span className="unseen">The same as a line</span>
          </th>
          <th scope="col" className={styles.number}>
            Samples
          </th>
        </tr>
      </thead>
      <tbody>
        {stages.map((stage) => (
          <tr key={`${stage.from} ${stage.to}`}>
            <th scope="row">{stageName(stage)}</th>
            <td className={styles.number}>{tableDuration(stage.medianHours)}</td>
            <td className={styles.number}>{tableDuration(stage.ninetiethHours)}</td>
            <td className={styles.picture}>
              <svg aria-hidden="true" focusable="false" width="100%" height="12">
                <line
                  x1="1%"
                  x2={share(stage.ninetiethHours)}
                  y1="6"
                  y2="6"
                  stroke="var(--hair)"
                  strokeWidth="2"
                />
                <line
                  x1="1%"
                  x2={share(stage.medianHours)}
                  y1="6"
                  y2="6"
                  stroke="var(--ink)"
                  strokeWidth="2"
                />
                <line
                  x1={share(stage.ninetiethHours)}
                  x2={share(stage.ninetiethHours)}
                  y1="2"
                  y2="10"
                  stroke="var(--quiet)"
                  strokeWidth="1.5"
                />
              </svg>
            </td>
            <td className={styles.number}>{stage.count.toLocaleString('en-GB')}</td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}
