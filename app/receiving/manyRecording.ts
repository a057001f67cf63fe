import type { Choices } from '@/app/ui/AskedFields'
import { listed } from '@/app/ui/words/numberWords'
import { stageWords } from '@/app/ui/words/stageWords'
import { howItStands } from '@/app/ui/words/standingWords'
import type { EventKind } from '@/lib/custody/event'
import { canonical, displayCode } from '@/lib/custody/kitCode'
import { type HandFault, readHandEvent } from '@/lib/intake/hand/handEvent'
import { type HandForm, handFormOf } from '@/lib/intake/hand/handFields'
import type { SampleRow } from '@/lib/store/projection/sampleRow'

/** What one form records of several kits at once. */
export interface ManyRecording {
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
  form: HandForm
  faults: HandFault[]
  choices: Choices
  /** Where times are read. */
  zone: string
}

type Params = Record<string, string | string[] | undefined>

/** The codes that were ticked when a form was sent, as the address has them; null where none was sent. */
export function tickedIn(params: Params): string[] | null {
  if ([params.typed].flat()[0] !== 'yes') return null
  return [params.tick].flat().flatMap((code) => (code === undefined ? [] : [canonical(code)]))
}

/** Works out such a form for these samples, with what was typed and what was wrong with it. */
export function manyRecording(
  kind: EventKind,
  samples: readonly { row: SampleRow; beside: string; isScanned?: boolean }[],
  at: { zone: string; zoneOf: (place: string | null) => string | null; choices: Choices; now: number },
  params: Params,
): ManyRecording {
  const { zone, now, choices } = at
  const ticked = tickedIn(params)
  const known: Partial<HandForm> = { service: commonService(samples) }
  const form = handFormOf((field) =>
    field === 'kind' ? kind : ticked === null ? known[field] : [params[field]].flat()[0],
  )
  return {
    kind,
    rows: samples.map(({ row, beside, isScanned = false }) => {
      const { lead, standing } = howItStands(row, zone, now)
      return {
        code: row.code,
        what: [row.productName ?? row.product ?? 'product not yet known', row.lot && `lot ${row.lot}`, beside]
          .filter(Boolean)
          .join(', '),
        stage: stageWords(row, zone, now),
        lead,
        isPressing: standing === 'at risk' || standing === 'lapsed',
        isTicked: isScanned || (ticked?.includes(row.code) ?? false),
      }
    }),
    form,
    faults:
      ticked === null
        ? []
        : faultsOf(
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
function commonService(samples: readonly { row: SampleRow }[]): string {
  const services = new Set(samples.map(({ row }) => row.service))
  const [service] = services
  return services.size === 1 ? (service ?? '') : ''
}

function faultsOf(
  form: HandForm,
  rows: readonly SampleRow[],
  ticked: readonly string[],
  { zoneOf, now }: { zoneOf: (place: string | null) => string | null; now: number },
): HandFault[] {
  const chosen = rows.filter(({ code }) => ticked.includes(code))
  const gone = ticked.filter((code) => !rows.some((row) => row.code === code))
  const faults: HandFault[] = []
  if (ticked.length === 0) faults.push({ field: 'kind', detail: 'Tick at least one sample.' })
  if (gone.length > 0)
    faults.push({
      field: 'kind',
      detail: `Nothing was recorded: ${listed(gone.map(displayCode))} can no longer be among them. The others are still ticked.`,
    })
  const judged = chosen[0] ?? rows[0]
  if (!judged) return faults
  const read = readHandEvent(
    form,
    { ...judged, reported: [] },
    { source: 'hand', id: 'typed', name: '' },
    zoneOf,
    now,
  )
  return 'faults' in read ? [...faults, ...read.faults] : faults
}
