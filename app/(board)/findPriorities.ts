import { getJudgement } from '@/app/ui/words/standing'
import type { NextAct } from '@/lib/judgement/nextAct'
import { compareUrgency, getUrgency } from '@/lib/judgement/urgency'
import type { Board } from '@/lib/store/read/board'
import type { JudgedRow } from '@/lib/store/read/judged/judgedRow'

type Plant = Board['bands'][number]['plant']

/** A sample to be named first, with what saves or replaces it. */
export interface Priority {
  plant: Plant
  row: JudgedRow
  lead: NextAct
}

/** The first sample that can still be saved, and the first to be replaced, by the order of everything that is to be done. */
export function findPriorities(
  { bands }: Pick<Board, 'bands'>,
  now: number,
): { save: Priority | undefined; replace: Priority | undefined } {
  const urgent = bands
    .flatMap(({ plant, rows }) =>
      rows.flatMap((row): Priority[] => {
        const lead = getJudgement(row, now)?.acts[0]
        return lead?.isUrgent ? [{ plant, row, lead }] : []
      }),
    )
    .sort((a, b) => compareUrgency(getUrgency(a.lead, a.row.code), getUrgency(b.lead, b.row.code)))
  return {
    save: urgent.find(({ lead }) => lead.loss?.kind === 'sample'),
    replace: urgent.find(({ lead }) => lead.act === 'replace it'),
  }
}
