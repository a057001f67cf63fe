import { getJudgement, getRowGroup } from '@/app/ui/words/standing'
import { compareActs } from '@/lib/judgement/acts'
import type { NextAct } from '@/lib/judgement/nextAct'
import type { Board } from '@/lib/store/read/board'
import type { JudgedRow } from '@/lib/store/read/judged/judgedRow'

type Plant = Board['bands'][number]['plant']

interface Shown {
  plant: Plant
  row: JudgedRow
  /** What saves most. */
  lead: NextAct
}

/**
 * The sample that can still be saved and whose leading act saves most, by the first due, and the first of those to be replaced, as
 * the board orders them.
 */
export function findPriorities(
  { bands }: Board,
  now: number,
): { save: Shown | undefined; replace: Shown | undefined } {
  const shown = bands.flatMap(({ plant, rows }) =>
    rows.flatMap((row) => {
      const lead = row.isSettled ? undefined : getJudgement(row, now)?.acts[0]
      return lead?.isUrgent ? [{ plant, row, lead }] : []
    }),
  )
  const getDueAt = ({ row }: Shown) => row.binding?.dueAt ?? Number.MAX_SAFE_INTEGER
  const isAt = ({ row }: Shown, ...groups: string[]) => groups.includes(getRowGroup(row, now))
  const savable = shown.filter((one) => isAt(one, 'in question', 'at risk'))
  return {
    save: savable.sort((a, b) => compareActs(a.lead, b.lead) || getDueAt(a) - getDueAt(b))[0],
    replace: shown.find((one) => isAt(one, 'to be replaced')),
  }
}
