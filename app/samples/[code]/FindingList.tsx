import { useTranslate } from '#translate'
import { createFormToken } from '@/app/ui/createFormToken'
import styles from '@/app/ui/EventForm.module.css'
import { Field } from '@/app/ui/Field'
import { FormToken } from '@/app/ui/FormToken'
import { Day } from '@/app/ui/Instant'
import { Link } from '@/app/ui/Link'
import { rich } from '@/app/ui/language/rich'
import { formatFault } from '@/app/ui/words/fact'
import { FAULT_LABELS } from '@/lib/custody/condition'
import { eventKey, type ReadEvent } from '@/lib/custody/event'
import { type Finding, RULING_LABELS } from '@/lib/custody/finding'
import { splitFaultKey } from '@/lib/custody/findingKey'
import { isCounted } from '@/lib/custody/placing'
import { readTextFact } from '@/lib/custody/textFact'
import type { Translate } from '@/lib/messages/translate'
import { getHandPersonId } from '@/lib/policy/handSource'
import type { SampleDossier } from '@/lib/store/read/sample/sampleDossier'
import type { TakeBackState } from './takeBackState'

/** What was found wrong with a sample, and the rulings on it, with links for whoever may rule on it or take it back. */
export function FindingList({
  dossier,
  names,
  mayRule,
  takeBack,
}: {
  dossier: SampleDossier
  names: ReadonlyMap<string, string>
  mayRule: boolean
  takeBack: TakeBackState
}) {
  const t = useTranslate()
  const { sample, row } = dossier
  const takenBack = listTakenBack(t, dossier, names)
  // One that follows from an event ahead of now comes about when its time comes.
  const findings = sample.findings.filter(({ at }) => at <= dossier.asOf)
  if (findings.length + takenBack.length === 0 && sample.unjudgedTemperature === null) return null
  const link = (params: Record<string, string>, anchor: string) =>
    `/samples/${row.code}?${new URLSearchParams(params)}#${anchor}`
  return (
    <section className={styles.panel} id="found">
      <h2>{t('samples.findings.heading')}</h2>
      <ul className={styles.found}>
        {findings.map((finding) => {
          const { key, grade, decision } = finding
          const isOpen = takeBack.key === key
          return (
            <li key={key}>
              <FindingText
                finding={finding}
                dossier={dossier}
                reporter={findReporter(finding, dossier, names)}
              />{' '}
              {grade === 'hold' && !decision && mayRule && (
                <Link href={link({ record: 'ruling', on: key }, 'record')} scroll={false}>
                  {t('samples.findings.rule')}
                </Link>
              )}{' '}
              {takeBack.keys.has(key) && !isOpen && (
                <Link href={link({ fault: key }, 'found')} scroll={false}>
                  {t('samples.findings.takeBack')}
                </Link>
              )}
              {isOpen && <TakeBackForm code={row.code} takeBack={takeBack} />}
            </li>
          )
        })}
        {sample.unjudgedTemperature !== null && (
          <li>{t('samples.findings.noRange', { temperature: sample.unjudgedTemperature })}</li>
        )}
        {takenBack.map(({ what, at, by, reason }) => (
          <li key={`${what} ${by} ${reason}`}>
            {rich(t, 'samples.findings.takenBack', {
              what: <s>{what}</s>,
              day: <Day at={at} zone={dossier.plant.zone} now={dossier.asOf} />,
              hasReporter: by === null ? 'no' : 'yes',
              by: by ?? '',
              reason,
            })}
          </li>
        ))}
      </ul>
    </section>
  )
}

/** What was found and taken back since, however often it was told: what, when, by whom and why. */
function listTakenBack(
  t: Translate,
  { sample, receipts }: SampleDossier,
  names: ReadonlyMap<string, string>,
): { what: string; at: number; by: string | null; reason: string }[] {
  const events = sample.events.map(({ event }) => event)
  const found = sample.events.flatMap((placed) => {
    const { event, takesBack } = placed
    const fault = takesBack === null || !isCounted(placed) ? null : splitFaultKey(takesBack)?.fault
    if (takesBack === null || !fault) return []
    const what = formatFault(t, takesBack, events) ?? t(FAULT_LABELS[fault])
    const by = nameReporter(event, receipts, names)
    const reason = readTextFact(event, 'reason') ?? ''
    return [[`${what} ${by} ${reason}`, { what, at: event.earliestAt, by, reason }] as const]
  })
  return [...new Map(found).values()]
}

/** The person, or the source, who told it first; null for what follows from several events. */
function findReporter(
  { key }: Finding,
  { sample, receipts }: SampleDossier,
  names: ReadonlyMap<string, string>,
): string | null {
  const keys = [key, splitFaultKey(key)?.receipt]
  const event = sample.events.find((one) => keys.includes(eventKey(one.event)))?.event
  return event ? nameReporter(event, receipts, names) : null
}

/** The person, or the source, who reported an event; null for a person whose name the reader does not get. */
function nameReporter(
  event: ReadEvent,
  receipts: SampleDossier['receipts'],
  names: ReadonlyMap<string, string>,
): string | null {
  if (getHandPersonId(event.source) === null) return event.source
  return names.get(receipts[eventKey(event)]?.reportedBy ?? '') ?? null
}

function FindingText({
  finding,
  dossier,
  reporter,
}: {
  finding: Finding
  dossier: SampleDossier
  reporter: string | null
}) {
  const t = useTranslate()
  const { what, at, decision, grade } = finding
  const values = {
    what: t.message(what),
    hasReporter: reporter === null ? 'no' : 'yes',
    reporter: reporter ?? '',
    day: <Day at={at} zone={dossier.plant.zone} now={dossier.asOf} />,
  }
  if (decision)
    return rich(t, 'samples.findings.ruled', {
      ...values,
      ruling: t(RULING_LABELS[decision.ruling]),
      hasReason: decision.reason ? 'yes' : 'no',
      reason: decision.reason ?? '',
    })
  return rich(t, grade === 'hold' ? 'samples.findings.open' : 'samples.findings.note', values)
}

/** Takes a fault of a receipt back, with the reason why there was none. */
function TakeBackForm({
  code,
  takeBack: { key, reason, faults },
}: {
  code: string
  takeBack: TakeBackState
}) {
  const t = useTranslate()
  return (
    <form method="post" action="/api/record/undo" className={styles.form}>
      <FormToken value={createFormToken()} />
      <input type="hidden" name="sample" value={code} />
      <input type="hidden" name="fault" value={key ?? ''} />
      <Field name="reason" label={t('samples.findings.why')} faults={faults}>
        {(field) => <input {...field} type="text" maxLength={500} autoComplete="off" defaultValue={reason} />}
      </Field>
      <div>
        <button type="submit" className={styles.second}>
          {t('samples.findings.submit')}
        </button>
      </div>
    </form>
  )
}
