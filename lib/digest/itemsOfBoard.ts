import type { Board } from '@/lib/store/board'
import type { SampleRow } from '@/lib/store/sampleRow'
import type { DigestItem } from './item'

/** What the open samples of a board ask of someone at its time. */
export function itemsOfBoard({ bands, asOf }: Pick<Board, 'bands' | 'asOf'>): DigestItem[] {
  return bands.flatMap(({ plant, rows }) => rows.flatMap((row) => itemsOf(row, plant, asOf)))
}

type Plant = Board['bands'][number]['plant']

function itemsOf(row: SampleRow, plant: Plant, now: number): DigestItem[] {
  if (row.isSettled || row.replacedBy !== null) return []
  const base = {
    plant: row.plant,
    plantName: plant.name,
    path: `/samples/${row.code}`,
    dueAt: row.binding?.dueAt ?? null,
    dueZone: row.laboratoryZone,
  }
  const atPlant = { kind: 'plant' as const, code: row.plant }
  const atLaboratory = { kind: 'laboratory' as const, code: row.laboratory }
  const item = (
    kind: string,
    at: DigestItem['at'],
    [act, why]: [string, string],
    more: Partial<DigestItem> = {},
  ): DigestItem => ({
    ...base,
    key: `${row.code} ${kind}`,
    at,
    act,
    why,
    isOverdue: base.dueAt !== null && base.dueAt < now,
    isComing: false,
    ...more,
  })
  const code = `${row.code.slice(0, 4)}-${row.code.slice(4)}`
  if (row.standing === 'lapsed') {
    const dueAt = row.lapsed?.dueAt ?? base.dueAt
    const words: [string, string] = [`Cut ${code} again`, 'it was not in the chamber within its limit']
    return [item('lapsed', atPlant, words, { dueAt, isOverdue: true })]
  }
  const asked = row.asksFor.map((milestone) =>
    item(
      `not reported ${milestone}`,
      milestone === 'received' || milestone === 'conditioned' || milestone === 'loaded'
        ? atLaboratory
        : atPlant,
      [`Report when ${code} was ${milestone}`, 'its limit cannot be judged without it'],
    ),
  )
  const next = nextAct(row, code)
  if (!next) return asked
  const isPressing = row.standing !== 'sound'
  return [
    ...asked,
    item(next.kind, next.isAtPlant ? atPlant : atLaboratory, next.words, {
      isComing: !isPressing && next.isPatient,
    }),
  ]
}

interface NextAct {
  kind: string
  isAtPlant: boolean
  words: [string, string]
  /** It need not be done this week where the sample is sound. */
  isPatient: boolean
}

/** What is to be done next with an open sample; null where its kit is not used yet. */
function nextAct(row: SampleRow, code: string): NextAct | null {
  switch (row.stage) {
    case 'produced':
    case 'collected':
    case 'sealed':
      return {
        kind: 'hand over',
        isAtPlant: true,
        words: [`Hand ${code} to the carrier`, 'it is cut and has not left'],
        isPatient: false,
      }
    case 'dispatched':
      return {
        kind: 'expect',
        isAtPlant: false,
        words: [`Expect ${code}`, 'it is under way'],
        isPatient: true,
      }
    case 'delivered':
      return {
        kind: 'log in',
        isAtPlant: false,
        words: [`Log in ${code}`, 'the carrier says it was delivered'],
        isPatient: false,
      }
    case 'received':
    case 'conditioned':
      return {
        kind: 'load',
        isAtPlant: false,
        words: [`Load ${code}`, 'it has arrived and its test has not begun'],
        isPatient: true,
      }
    default:
      return null
  }
}
