'use client'

import { useTranslate } from '#translate'
import { ActLink } from '@/app/ui/ActLink'
import { Link } from '@/app/ui/Link'
import { useServerNow } from '@/app/ui/useServerNow'
import { useViewer } from '@/app/ui/ViewerProvider'
import { type ActText, formatAct } from '@/app/ui/words/act'
import { formatStatus, getJudgement } from '@/app/ui/words/standing'
import type { EventKind } from '@/lib/custody/event'
import { isMilestone } from '@/lib/hold/milestone'
import { SAMPLE_ACTS } from '@/lib/judgement/acts'
import { describeAct } from '@/lib/judgement/actText'
import type { NextAct } from '@/lib/judgement/nextAct'
import { makeResponsible } from '@/lib/judgement/responsibility'
import type { Translate } from '@/lib/messages/translate'
import type { JudgedRow } from '@/lib/store/read/judged/judgedRow'
import styles from './SampleNeeds.module.css'

type Names = Record<'plant' | 'laboratory', string>

/**
 * What a sample needs: what must not be done with it, and what each party has to do, by when and why; the reader's own first, with
 * one press to its form. `formKind`: what the form on the page records already.
 */
export function SampleNeeds({
  row,
  names,
  formKind,
  asOf,
}: {
  row: JudgedRow
  names: Names
  formKind: EventKind | null
  asOf: number
}) {
  const t = useTranslate()
  const now = useServerNow(asOf)
  const viewer = useViewer()
  const judgement = getJudgement(row, now)
  if (judgement === null) return null
  const { found, restraint } = formatStatus(t, row, row.zones.plant, now)
  const subject = { ...row, sample: row.code }
  const acts = judgement.acts
    .map((act) => ({
      act,
      // It stands under the name of whoever acts.
      text: {
        ...formatAct(t, act, subject, row.zones, viewer, now),
        text: describeAct(t, act, 'it', makeResponsible(act.actor)),
      },
    }))
    .sort((a, b) => Number(b.text.isTheirs) - Number(a.text.isTheirs))
  const whys = acts.map(({ act }) => t.message(act.why))
  return (
    <section className={styles.needs} aria-labelledby="needs">
      <h2 id="needs">{t('samples.needs.heading')}</h2>
      {restraint && (
        <p className={styles.restraint}>
          <strong>{restraint}</strong> {formatCare(t, row)}
        </p>
      )}
      {acts.length === 0 && <p>{t(formatNothing(row))}</p>}
      <ul className={styles.acts}>
        {acts.map(({ act, text }, index) => (
          <li key={`${act.act} ${act.actor.by} ${act.milestone ?? ''}`} data-theirs={text.isTheirs}>
            <p className={styles.who}>{formatActor(t, act, text, names)}</p>
            <div>
              <Act text={text} isPress={index === 0 && text.isTheirs && isFormElsewhere(act, formKind)} />
              {whys[index] !== found && whys[index] !== whys[index - 1] && (
                <p className={styles.why}>{whys[index]}</p>
              )}
            </div>
          </li>
        ))}
      </ul>
    </section>
  )
}

/** One act; the first of the reader's own as a button if its form is elsewhere. */
function Act({ text, isPress }: { text: ActText; isPress: boolean }) {
  if (!isPress || text.path === null)
    return (
      <p>
        <ActLink act={{ ...text, isUrgent: text.isUrgent || text.isTheirs }} />
      </p>
    )
  return (
    <>
      <Link href={text.path} className={styles.press}>
        {text.text}
      </Link>
      {text.when && <p className={styles.when}>{text.when}</p>}
    </>
  )
}

/** Whether its form is not on the page. Beside the form of one step, another step is no button. */
function isFormElsewhere({ act, milestone }: NextAct, kind: EventKind | null): boolean {
  const record = milestone ?? SAMPLE_ACTS[act].record
  return kind === null || record === null || (record !== kind && !isMilestone(record))
}

function formatActor(t: Translate, { actor }: NextAct, { isTheirs }: ActText, names: Names): string {
  if (isTheirs) return t('samples.needs.you')
  return actor.by === 'programme' ? t('act.actor.programmeHeading') : names[actor.by]
}

/** What to do with a sample that may not go on. */
function formatCare(t: Translate, { judgement, stage }: JudgedRow): string {
  if (judgement?.fitness === 'in question') return t('samples.needs.untilRuling')
  if (judgement?.restraint === 'do not send') return t('samples.needs.keepAtPlant')
  const isUnderWay = stage === 'dispatched' || stage === 'delivered'
  return t(isUnderWay ? 'samples.needs.keepOnArrival' : 'samples.needs.keepAtLaboratory')
}

/** Why nobody is asked for anything. */
function formatNothing({ judgement, replacedBy, purpose }: JudgedRow) {
  if (replacedBy !== null) return 'samples.needs.replaced'
  if (judgement?.fitness === 'unfit') return 'samples.needs.notOwed'
  return purpose === 'retained' ? 'samples.needs.retained' : 'samples.needs.nothing'
}
