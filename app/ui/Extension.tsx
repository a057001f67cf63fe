import { isCounted } from '@/lib/custody/placing'
import type { Clock } from '@/lib/hold/clock'
import type { SampleDossier } from '@/lib/store'
import { Instant } from './Instant'

/** The due of a clock; where it was extended, the first one struck through and what the extension says of itself. */
export function Extension({ clock, dossier, zone }: { clock: Clock; dossier: SampleDossier; zone: string }) {
  const { asOf, sample } = dossier
  const { dueAt, firstDueAt, limit } = clock
  if (dueAt === null) return null
  const due = (
    <strong>
      <Instant at={dueAt} zone={zone} now={asOf} />
    </strong>
  )
  if (firstDueAt === null) return due
  const granting = sample.events.findLast(
    (placed) =>
      isCounted(placed) && placed.event.kind === 'extended' && placed.event.facts?.limit === limit.name,
  )
  const { approvedBy, reason } = granting?.event.facts ?? {}
  return (
    <>
      <s>
        <Instant at={firstDueAt} zone={zone} now={asOf} />
      </s>{' '}
      extended to {due}
      {typeof approvedBy === 'string' && `, approved by ${approvedBy}`}
      {typeof reason === 'string' && `: ${reason}`}
    </>
  )
}
