import styles from '@/app/ui/EventForm.module.css'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { RecordedNotice } from '@/app/ui/RecordedNotice'
import { spellFirstNumber } from '@/app/ui/words/number'
import { formatZone } from '@/lib/messages/zoneName'
import { handSource } from '@/lib/policy/handSource'
import { getScope, type Person } from '@/lib/policy/principal'
import { may } from '@/lib/policy/reporting'
import type { PlantPage } from '@/lib/store/read/plant/plantPage'
import { getKitChoices, listSubmittedEvents } from '@/lib/store/read/sample/eventForm'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { BulkEventForm } from './BulkEventForm'
import { buildBulkFormState, readTickedCodes } from './bulkFormState'

/** What a person has just recorded for a plant's samples, and the samples ready to go under one waybill. */
export async function HandOverPanel({
  page,
  person,
  params,
}: {
  page: PlantPage
  person: Person
  params: Record<string, string | string[] | undefined>
}) {
  const t = await getTranslate()
  const { plant, open, asOf } = page
  const ready = open.filter(
    (row) => row.judgement?.acts.some(({ act }) => act === 'hand it over') && may(person, 'dispatched', row),
  )
  const token = [params.done].flat()[0] ?? ''
  const done =
    token === ''
      ? []
      : await listSubmittedEvents(getAppPool(), getScope(person), handSource(person), token, asOf)
  if (ready.length === 0 && done.length === 0) return null
  const { services } = await getKitChoices(getAppPool(), plant.code, asOf)
  const laboratories = new Map(page.laboratories.map(({ code, name }) => [code, name]))
  return (
    <>
      <RecordedNotice
        events={done}
        now={asOf}
        from="plant"
        plant={plant.code}
        canUndo={(event) => may(person, event.kind, event)}
      />
      {ready.length > 0 && (
        <div className={styles.panel} id="record">
          <details className={styles.more} open={readTickedCodes(params) !== null}>
            <summary>
              {t('plants.handOver.summary', {
                count: ready.length,
                spelled: spellFirstNumber(t, ready.length),
              })}
            </summary>
            <BulkEventForm
              plant={plant.code}
              state={buildBulkFormState(
                t,
                'dispatched',
                ready.map((row) => ({
                  row,
                  context: t('plants.handOver.to', {
                    laboratory: laboratories.get(row.laboratory) ?? row.laboratory,
                  }),
                })),
                {
                  zone: plant.zone,
                  getZone: () => plant.zone,
                  choices: {
                    services,
                    products: [],
                    limits: [],
                    findings: [],
                    untilPlace: formatZone(plant.zone),
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
