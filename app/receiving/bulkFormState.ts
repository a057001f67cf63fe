import type { FieldChoices } from '@/app/ui/EventFields'
import { formatList } from '@/app/ui/words/number'
import { formatWhereabouts } from '@/app/ui/words/stage'
import { formatStatus } from '@/app/ui/words/standing'
import type { EventKind } from '@/lib/custody/event'
import { formatKitCode, toCanonical } from '@/lib/custody/kitCode'
import { type EventFormValues, readEventForm } from '@/lib/intake/hand/eventForm'
import { type FormFault, parseEventForm } from '@/lib/intake/hand/parseEventForm'
import type { Translate } from '@/lib/messages/translate'
import type { SampleRow } from '@/lib/store/projection/sampleRow'

/** What one form records of several kits at once. */
export interface BulkFormState {
  kind: EventKind
  rows: {
    code: string
    what: string
    stage: string
    lead: string
    /** It is at risk or lapsed. */
    isPressing: boolean
    isTicked: boolean
  }[]
  form: EventFormValues
  faults: FormFault[]
  choices: FieldChoices
  /** Where times are read. */
  zone: string
}

type Params = Record<string, string | string[] | undefined>

/** The codes that were ticked when a form was sent, as the address has them; null where none was sent. */
export function readTickedCodes(params: Params): string[] | null {
  if ([params.typed].flat()[0] !== 'yes') return null
  return [params.tick].flat().flatMap((code) => (code === undefined ? [] : [toCanonical(code)]))
}

/** Works out such a form for these samples, with what was typed and what was wrong with it. */
export function buildBulkFormState(
  t: Translate,
  kind: EventKind,
  samples: readonly { row: SampleRow; beside: string; isScanned?: boolean }[],
  at: { zone: string; zoneOf: (place: string | null) => string | null; choices: FieldChoices; now: number },
  params: Params,
): BulkFormState {
  const { zone, now, choices } = at
  const ticked = readTickedCodes(params)
  const known: Partial<EventFormValues> = { service: findCommonService(samples) }
  const form = readEventForm((field) =>
    field === 'kind' ? kind : ticked === null ? known[field] : [params[field]].flat()[0],
  )
  return {
    kind,
    rows: samples.map(({ row, beside, isScanned = false }) => {
      const { headline: lead, standing } = formatStatus(t, row, zone, now)
      return {
        code: row.code,
        what: [row.productName ?? row.product ?? 'product not yet known', row.lot && `lot ${row.lot}`, beside]
          .filter(Boolean)
          .join(', '),
        stage: formatWhereabouts(t, row, zone, now),
        lead,
        isPressing: standing === 'at risk' || standing === 'lapsed',
        isTicked: isScanned || (ticked?.includes(row.code) ?? false),
      }
    }),
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
          ),
    choices,
    zone,
  }
}

/** The one service by which all are to travel, if it is one. */
function findCommonService(samples: readonly { row: SampleRow }[]): string {
  const services = new Set(samples.map(({ row }) => row.service))
  const [service] = services
  return services.size === 1 ? (service ?? '') : ''
}

function findFaults(
  t: Translate,
  form: EventFormValues,
  rows: readonly SampleRow[],
  ticked: readonly string[],
  { zoneOf, now }: { zoneOf: (place: string | null) => string | null; now: number },
): FormFault[] {
  const chosen = rows.filter(({ code }) => ticked.includes(code))
  const gone = ticked.filter((code) => !rows.some((row) => row.code === code))
  const faults: FormFault[] = []
  if (ticked.length === 0) faults.push({ field: 'kind', detail: 'Tick at least one sample.' })
  if (gone.length > 0)
    faults.push({
      field: 'kind',
      detail: `Nothing was recorded: ${formatList(t, gone.map(formatKitCode))} can no longer be among them. The others are still ticked.`,
    })
  const judged = chosen[0] ?? rows[0]
  if (!judged) return faults
  const read = parseEventForm(
    form,
    { ...judged, reported: [] },
    { source: 'hand', id: 'typed', name: '' },
    zoneOf,
    now,
  )
  return 'faults' in read ? [...faults, ...read.faults] : faults
}
