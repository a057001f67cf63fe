import { message } from '@/lib/messages/message'
import type { OwedTest, Programme } from '@/lib/schedule/owedTests'
import { type JudgedSubject, judgeAll } from './judgeAll'
import { findReportLoss } from './loss'
import { OVERDUE, type Overdue } from './overdueKinds'
import type { ProgrammeIndex } from './programmeIndex'
import { compareUrgency, type Urgency } from './urgency'

/** Whether something overdue holds up this test, whose later acts can then hardly be in time. */
export function isForTest(overdue: Overdue, owed: OwedTest): boolean {
  return overdue.duty === owed.duty && overdue.number === owed.number
}

/**
 * All that is overdue in a programme, most urgent first, whatever the order of samples, events or entries. `judged`: the
 * judgements of all its samples.
 */
export function findOverdue(index: ProgrammeIndex, judged = judgeAll(index)): Overdue[] {
  const { programme } = index
  return [
    ...index.owed.flatMap((one) => findTestWithoutKit(one, programme)),
    ...judged.flatMap((one) => findSampleOverdue(one, index)),
  ]
    .map((one) => ({ one, urgency: getOverdueUrgency(one) }))
    .sort((a, b) => compareUrgency(a.urgency, b.urgency))
    .map(({ one }) => one)
}

/** The same as that of the act that is late. */
export function getOverdueUrgency({ loss, sinceAt, sample, subject }: Overdue): Urgency {
  return { isUrgent: true, loss, at: sinceAt, key: `${sample ?? ''} ${subject}` }
}

/** A test whose first kit should have been posted by now, and for which no kit was issued. */
function findTestWithoutKit(owed: OwedTest, { now }: Programme): Overdue[] {
  const first = owed.acts[0]
  if (!first || owed.kits.length > 0 || now <= first.dueAt) return []
  const kind = 'duty with no kit'
  return [
    {
      kind,
      act: null,
      actor: { by: 'programme' },
      sinceAt: first.dueAt,
      zone: first.zone,
      plant: owed.plant,
      laboratory: owed.laboratory,
      product: owed.product,
      sample: null,
      duty: owed.duty,
      number: owed.number,
      reason: null,
      findings: [],
      why: message('overdue.noKit.why'),
      service: owed.service,
      spare: null,
      loss: findReportLoss(owed, false, now),
      subject: `${kind}/${owed.duty}/${owed.number}`,
    },
  ]
}

/** The acts of a sample that are overdue. `zone` is that of whoever has to act. */
function findSampleOverdue({ judgement, ...subject }: JudgedSubject, index: ProgrammeIndex): Overdue[] {
  const { register, office } = index.programme
  const sample = index.find(subject.sample)
  if (sample === null) return []
  const owed = index.findOwedTest(sample)
  return judgement.acts.flatMap(({ act, overdue, actor, findings, spare, why, loss }) => {
    if (overdue === null) return []
    const { kind, sinceAt } = overdue
    const usual = OVERDUE[kind].why
    return [
      {
        ...subject,
        kind,
        act,
        actor,
        sinceAt,
        zone: actor.by === 'programme' ? office.zone : (register.getZone(actor.code) as string),
        duty: owed?.duty ?? null,
        number: owed?.number ?? null,
        reason:
          kind === 'lapsed with no re-collection'
            ? (index.findReplacementNeed(sample)?.reason ?? null)
            : null,
        findings,
        why: usual === null ? why : message(usual),
        spare,
        loss,
        subject: [kind, subject.sample, ...findings.slice(0, 1)].join('/'),
      },
    ]
  })
}
