import { ManyForm } from '@/app/receiving/ManyForm'
import { manyRecording, tickedIn } from '@/app/receiving/manyRecording'
import styles from '@/app/ui/Record.module.css'
import { Recorded } from '@/app/ui/Recorded'
import { countOf } from '@/app/ui/words/numberWords'
import { milestonesBetween } from '@/lib/hold/milestone'
import { mayRecord } from '@/lib/policy/mayRecord'
import { type Person, scopeOf } from '@/lib/policy/principal'
import { handSource } from '@/lib/policy/reporting'
import { capitalised } from '@/lib/schedule/firstLetter'
import { placeName } from '@/lib/schedule/placeName'
import type { PlantPage } from '@/lib/store/read/plant/plantPage'
import { eventsOfAct, kitChoices } from '@/lib/store/read/sample/byHand'
import { sharedPool } from '@/lib/store/scope/sharedPool'

const READY_AFTER = milestonesBetween('collected', 'dispatched')

/** What a person has just recorded of a plant's samples, and which of these are ready to go under one waybill. */
export async function HandOver({
  page,
  person,
  params,
}: {
  page: PlantPage
  person: Person
  params: Record<string, string | string[] | undefined>
}) {
  const { plant, open, asOf } = page
  const ready = open.filter(
    (row) =>
      row.stage !== null &&
      READY_AFTER.includes(row.stage) &&
      row.ending === null &&
      mayRecord(person, 'dispatched', row),
  )
  const token = [params.done].flat()[0] ?? ''
  const done =
    token === '' ? [] : await eventsOfAct(sharedPool(), scopeOf(person), handSource(person), token, asOf)
  if (ready.length === 0 && done.length === 0) return null
  const { services } = await kitChoices(sharedPool(), plant.code, asOf)
  const laboratories = new Map(page.laboratories.map(({ code, name }) => [code, name]))
  return (
    <>
      <Recorded
        events={done}
        now={asOf}
        from="plant"
        plant={plant.code}
        canUndo={(event) => mayRecord(person, event.kind, event)}
      />
      {ready.length > 0 && (
        <div className={styles.panel} id="record">
          <details className={styles.more} open={tickedIn(params) !== null}>
            <summary>
              {capitalised(countOf(ready.length, 'sample is', 'samples are'))} ready to hand over: record it
            </summary>
            <ManyForm
              from="plant"
              plant={plant.code}
              many={manyRecording(
                'dispatched',
                ready.map((row) => ({
                  row,
                  beside: `to ${laboratories.get(row.laboratory) ?? row.laboratory}`,
                })),
                {
                  zone: plant.zone,
                  zoneOf: () => plant.zone,
                  choices: {
                    services,
                    products: [],
                    limits: [],
                    deviations: [],
                    laboratoryPlace: placeName(plant.zone),
                  },
                  now: asOf,
                },
                params,
              )}
            />
          </details>
        </div>
      )}
    </>
  )
}
