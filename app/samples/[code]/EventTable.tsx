import { keyOf } from '@/lib/custody/event'
import { placeName } from '@/lib/schedule/placeName'
import type { SampleDossier } from '@/lib/store/read/sample/sampleDossier'
import { EventRow } from './EventRow'
import styles from './EventTable.module.css'

/** Every event of a sample by time, counted or not: what, when (at the plant and at the laboratory), who, and since when known. */
export function EventTable({
  dossier,
  anchors,
  names,
  changeable,
}: {
  dossier: SampleDossier
  anchors: ReadonlyMap<string, string>
  names: ReadonlyMap<string, string>
  changeable: ReadonlySet<string>
}) {
  const { plant, laboratory, sample } = dossier
  const isOneZone = plant.zone === laboratory.zone
  return (
    <table className={styles.events}>
      <caption className="unseen">Events reported of this sample, by the time they give</caption>
      <thead>
        <tr>
          <th scope="col">What</th>
          <th scope="col">When, {placeName(plant.zone)}</th>
          {!isOneZone && <th scope="col">When, {placeName(laboratory.zone)}</th>}
          <th scope="col">As sent</th>
          <th scope="col">Reported by</th>
          <th scope="col">Known since</th>
        </tr>
      </thead>
      <tbody>
        {sample.events.map((placed) => (
          <EventRow
            key={keyOf(placed.event)}
            placed={placed}
            dossier={dossier}
            anchors={anchors}
            names={names}
            isChangeable={changeable.has(keyOf(placed.event))}
          />
        ))}
      </tbody>
    </table>
  )
}
