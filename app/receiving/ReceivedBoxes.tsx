import { useTranslate } from '#translate'
import styles from '@/app/ui/EventForm.module.css'
import { rich } from '@/app/ui/language/rich'
import { SampleLink } from '@/app/ui/SampleLink'
import { formatKitCode } from '@/lib/custody/kitCode'
import { nameAct } from '@/lib/judgement/actText'
import type { Judgement } from '@/lib/judgement/judge'
import { describeRestraint } from '@/lib/judgement/restraintText'
import type { Translate } from '@/lib/messages/translate'
import { type Actor, isSameActor } from '@/lib/schedule/act'
import type { SubmittedEvent } from '@/lib/store/read/sample/eventForm'

/**
 * What follows for each box that was just received: those with something to know first, and all together those of which there is
 * nothing to say. `judgements`: of the samples, by kit code.
 */
export function ReceivedBoxes({
  events,
  judgements,
}: {
  events: readonly SubmittedEvent[]
  judgements: ReadonlyMap<string, Judgement>
}) {
  const t = useTranslate()
  const getJudgement = ({ sample }: SubmittedEvent) => judgements.get(sample ?? '') ?? null
  const isPlain = (event: SubmittedEvent) =>
    event.found.length === 0 &&
    event.unjudgedTemperature === null &&
    !event.isKept &&
    (getJudgement(event)?.fitness ?? 'fit') === 'fit'
  const plain = events.filter(isPlain)
  return (
    <>
      <ul className={styles.found}>
        {events
          .filter((event) => !isPlain(event))
          .map((event) => (
            <li key={event.key}>
              <ReceivedBox event={event} judgement={getJudgement(event)} />
            </li>
          ))}
      </ul>
      {plain.length > 0 && (
        <p>
          {plain.length < events.length
            ? t('receiving.done.others', { count: plain.length })
            : t('receiving.done.sound')}{' '}
          {plain.map(({ key, sample }) => (
            <span key={key}>{sample && <SampleLink code={sample} />} </span>
          ))}
        </p>
      )}
    </>
  )
}

function ReceivedBox({
  event: { sample, found, unjudgedTemperature, isKept, laboratory },
  judgement,
}: {
  event: SubmittedEvent
  judgement: Judgement | null
}) {
  const t = useTranslate()
  // The judgement names all that waits for a ruling; a receipt alone knows no seal numbers of the plant.
  const waiting = judgement?.acts.find(({ findings }) => findings.length > 0)?.why ?? null
  const why = waiting ?? judgement?.acts.find(({ act }) => act === 'replace it')?.why ?? null
  const told = waiting === null ? found : found.filter(({ grade }) => grade === 'note')
  const next = judgement && describeDesk(t, judgement, { by: 'laboratory', code: laboratory })
  const what = t.list(told.map((fault) => t.message(fault.what)))
  const code = sample === null ? null : formatKitCode(sample)
  const box =
    code === null ? (
      t('receiving.box.noCode')
    ) : isKept ? (
      <code>{code}</code>
    ) : (
      <SampleLink code={sample ?? ''} />
    )
  return (
    <>
      {rich(t, 'receiving.done.box', { box, found: told.length === 0 ? 'nothing' : 'faults', what })}
      {why && ` ${t.message(why)}`}
      {next && <strong className={styles.hold}> {next}</strong>}
      {unjudgedTemperature !== null &&
        ` ${t('samples.findings.noRange', { temperature: unjudgedTemperature })}`}
      {isKept && ` ${t('receiving.done.kept')}`}
    </>
  )
}

/** What the desk does with a box that is not fit: as it is judged, a sentence; null where nobody asks it for anything. */
function describeDesk(t: Translate, judgement: Judgement, desk: Actor): string | null {
  if (judgement.fitness === 'fit') return null
  const act = judgement.acts.find(({ actor }) => isSameActor(actor, desk))
  return (
    describeRestraint(t, judgement, desk) ??
    (act ? t('receiving.done.act', { act: nameAct(t, 'text', act, 'it') }) : null)
  )
}
