import { useTranslate } from '#translate'
import { ActLink } from '@/app/ui/ActLink'
import { rich } from '@/app/ui/language/rich'
import { SampleLink } from '@/app/ui/SampleLink'
import { StandingDetail } from '@/app/ui/StandingDetail'
import { useViewer } from '@/app/ui/ViewerProvider'
import { formatAct } from '@/app/ui/words/act'
import { formatStatus } from '@/app/ui/words/standing'
import type { Board } from '@/lib/store/read/board'
import { findPriorities, type Priority } from './findPriorities'
import styles from './LiveBoard.module.css'

/** The sample for which most can still be saved, and the one to be replaced: with what does so, whoever has to do it. */
export function Priorities({ board, now }: { board: Pick<Board, 'bands'>; now: number }) {
  const { save, replace } = findPriorities(board, now)
  if (!save && !replace) return null
  return (
    <p className={styles.first}>
      {save && <PrioritySample label="board.saveFirst" {...save} now={now} />}
      {save && replace && <br />}
      {replace && <PrioritySample label="board.replaceFirst" {...replace} now={now} />}
    </p>
  )
}

function PrioritySample({
  label,
  row,
  plant,
  lead,
  now,
}: Priority & { label: 'board.saveFirst' | 'board.replaceFirst'; now: number }) {
  const t = useTranslate()
  const text = formatStatus(t, row, plant.zone, now)
  const act = formatAct(t, lead, { ...row, sample: row.code }, row.zones, useViewer(), now)
  return (
    <>
      {rich(t, label, { sample: <SampleLink code={row.code} />, plant: plant.name })}
      {' · '}
      {text.headline}
      <span className={styles.detail}>
        {' · '}
        <StandingDetail text={text} />
      </span>
      {' · '}
      <ActLink act={act} />
    </>
  )
}
