import { type TickRow, toTickRow } from '@/app/receiving/tickRow'
import type { FieldChoices } from '@/app/ui/EventFields'
import type { EventKind } from '@/lib/custody/event'
import { formatKitCode, toCanonical } from '@/lib/custody/kitCode'
import { type EventFormValues, readEventForm } from '@/lib/intake/hand/eventForm'
import { type FormFault, parseEventForm } from '@/lib/intake/hand/parseEventForm'
import { message } from '@/lib/messages/message'
import type { Translate } from '@/lib/messages/translate'
import type { JudgedRow } from '@/lib/store/read/judged/judgedRow'

/** The form that records one kind of event for several kits. */
export interface BulkFormState {
  kind: EventKind
  rows: TickRow[]
  form: EventFormValues
  faults: FormFault[]
  choices: FieldChoices
  /** The zone in which times are entered. */
  zone: string
}

type Params = Record<string, string | string[] | undefined>

/** The codes that were ticked when a form was sent, from the address; null where none was sent. */
export function readTickedCodes(params: Params): string[] | null {
  if ([params.typed].flat()[0] !== 'yes') return null
  return [params.tick].flat().flatMap((code) => (code === undefined ? [] : [toCanonical(code)]))
}

/** The form for these samples, with what was typed and its faults. `context`: where a sample comes from or goes to. */
export function buildBulkFormState(
  t: Translate,
  kind: EventKind,
  samples: readonly { row: JudgedRow; context: string }[],
  at: { zone: string; getZone: (place: string | null) => string | null; choices: FieldChoices; now: number },
  params: Params,
): BulkFormState {
  const { zone, choices } = at
  const ticked = readTickedCodes(params)
  const known: Partial<EventFormValues> = { service: findCommonService(samples) }
  const form = readEventForm((field) =>
    field === 'kind' ? kind : ticked === null ? known[field] : [params[field]].flat()[0],
  )
  return {
    kind,
    rows: samples.map(({ row, context }) =>
      toTickRow(t, row, context, at, ticked?.includes(row.code) ?? false),
    ),
    form,
    faults:
      ticked === null
        ? []
        : findFaults(
            t,
            form,
            samples.map(({ row }) => row),
            ticked,
            at,
            [params.asked].flat()[0] === 'yes',
          ),
    choices,
    zone,
  }
}

/** The service by which all are to travel; empty where that differs. */
function findCommonService(samples: readonly { row: JudgedRow }[]): string {
  const services = new Set(samples.map(({ row }) => row.service))
  const [service] = services
  return services.size === 1 ? (service ?? '') : ''
}

function findFaults(
  t: Translate,
  form: EventFormValues,
  rows: readonly JudgedRow[],
  ticked: readonly string[],
  { getZone, now }: { getZone: (place: string | null) => string | null; now: number },
  isAsked: boolean,
): FormFault[] {
  const chosen = rows.filter(({ code }) => ticked.includes(code))
  const gone = ticked.filter((code) => !rows.some((row) => row.code === code))
  const faults: FormFault[] = []
  if (ticked.length === 0) faults.push({ field: 'kind', detail: message('record.fault.tickOne') })
  if (isAsked) faults.push({ field: 'confirm', detail: message('record.fault.askedSome') })
  if (gone.length > 0)
    faults.push({
      field: 'kind',
      detail: message('record.fault.notListed', {
        count: gone.length,
        codes: t.list(gone.map(formatKitCode)),
      }),
    })
  const judged = chosen[0] ?? rows[0]
  if (!judged) return faults
  const read = parseEventForm(
    form,
    // The others matter as much: the reply to the form says what their clocks and findings have against it.
    { ...judged, reported: [], clocks: [] },
    { source: 'hand', id: 'typed', name: '' },
    getZone,
    now,
  )
  return 'faults' in read ? [...faults, ...read.faults] : faults
}
