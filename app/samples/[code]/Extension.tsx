import { Deadline } from '@/app/ui/Instant'
import { isCounted } from '@/lib/custody/placing'
import type { Clock } from '@/lib/hold/clock'
import type { SampleDossier } from '@/lib/store/read/sample/sampleDossier'

/** The due of a clock, in `otherZone` too; where it was extended, the first one struck through and what the extension says of itself. */
export function Extension({
  clock,
  dossier,
  zone,
  otherZone,
}: {
  clock: Clock
  dossier: SampleDossier
  zone: string
  otherZone: string | undefined
}) {
  const { asOf, sample } = dossier
  const { dueAt, firstDueAt, limit } = clock
  if (dueAt === null) return null
  const due = (
    <>
      <strong>
        <Deadline at={dueAt} zone={zone} now={asOf} />
      </strong>
      {otherZone && (
        <>
          , which is <Deadline at={dueAt} zone={otherZone} now={asOf} />
        </>
      )}
    </>
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
        <Deadline at={firstDueAt} zone={zone} now={asOf} />
      </s>{' '}
      extended to {due}
      {typeof approvedBy === 'string' && `, approved by ${approvedBy}`}
      {typeof reason === 'string' && `: ${reason}`}
    </>
  )
}
