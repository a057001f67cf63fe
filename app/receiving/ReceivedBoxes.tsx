import { useTranslate } from '#translate'
import styles from '@/app/ui/EventForm.module.css'
import { rich } from '@/app/ui/language/rich'
import { SampleLink } from '@/app/ui/SampleLink'
import { formatKitCode } from '@/lib/custody/kitCode'
import type { SubmittedEvent } from '@/lib/store/read/sample/eventForm'

/** What follows for each box that was just received: what was found wrong first, then what is kept until it is matched. */
export function ReceivedBoxes({ events }: { events: readonly SubmittedEvent[] }) {
  const t = useTranslate()
  const isPlain = ({ found, unjudgedTemperature, isKept }: SubmittedEvent) =>
    found.length === 0 && unjudgedTemperature === null && !isKept
  const plain = events.filter(isPlain)
  return (
    <>
      <ul className={styles.found}>
        {events
          .filter((event) => !isPlain(event))
          .map((event) => (
            <li key={event.key}>
              <ReceivedBox event={event} />
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

function ReceivedBox({ event: { sample, found, unjudgedTemperature, isKept } }: { event: SubmittedEvent }) {
  const t = useTranslate()
  const what = t.list(found.map((fault) => t.message(fault.what)))
  const code = sample === null ? null : formatKitCode(sample)
  const box =
    code === null ? (
      t('receiving.box.noCode')
    ) : isKept ? (
      <code>{code}</code>
    ) : (
      <SampleLink code={sample ?? ''} />
    )
  const isHeld = found.some(({ grade }) => grade === 'hold')
  return (
    <>
      {rich(t, 'receiving.done.box', { box, found: found.length === 0 ? 'nothing' : 'faults', what })}
      {isHeld && <strong className={styles.hold}> {t('receiving.done.hold')}</strong>}
      {unjudgedTemperature !== null &&
        ` ${t('samples.findings.noRange', { temperature: unjudgedTemperature })}`}
      {isKept && ` ${t('receiving.done.kept')}`}
    </>
  )
}
