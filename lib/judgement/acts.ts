import type { EventKind } from '@/lib/custody/event'
import type { ActMessage } from '@/lib/schedule/act'

interface SampleActRow {
  /** Shown to whoever has to do it: "Cut 7KQ2-M94Y". `sample` may be "it". */
  text: ActMessage
  /** The same with what to record. */
  recordText: ActMessage
  /** Shown to others: "Ask the plant to cut 7KQ2-M94Y". */
  askText: ActMessage
  /** The event that is recorded once it is done; null where a page settles it, or nothing. */
  record: EventKind | null
  /** Whether it keeps someone from testing: it waits for nobody else, and is not put off. */
  isPressing: boolean
  /** What waiting costs: the sample while its clocks run, else the day of its test's report. Empty if it costs nothing more. */
  saves: readonly ('sample' | 'report')[]
}

/** The row of an act that everyone reads alike. */
const alike = (
  text: ActMessage,
  record: EventKind | null,
  isPressing: boolean,
  saves: SampleActRow['saves'],
): SampleActRow => ({
  text,
  recordText: text,
  askText: text,
  record,
  isPressing,
  saves,
})

/**
 * Everything that can be asked of someone about a sample. What saves most comes first: of several acts that press alike, the
 * first in this order leads.
 */
const ROWS = {
  'load it, hold the report': {
    text: 'act.loadAndHold.do',
    recordText: 'act.loadAndHold.record',
    askText: 'act.loadAndHold.ask',
    record: 'loaded',
    isPressing: true,
    saves: ['sample'],
  },
  'rule on it': {
    text: 'act.rule.do',
    recordText: 'act.rule.do',
    askText: 'act.rule.ask',
    record: 'ruling',
    isPressing: true,
    saves: ['sample'],
  },
  'cut it again': {
    text: 'act.cutAnew.do',
    recordText: 'act.cutAnew.do',
    askText: 'act.cutAnew.ask',
    record: null,
    isPressing: true,
    saves: ['report'],
  },
  'open out of hours': {
    text: 'act.openOutOfHours.do',
    recordText: 'act.openOutOfHours.do',
    askText: 'act.openOutOfHours.ask',
    record: null,
    isPressing: true,
    saves: ['sample'],
  },
  'have it released': alike('act.release.do', 'customs cleared', true, ['sample']),
  'ask the carrier': alike('act.carrier.do', null, false, ['sample']),
  'post it': {
    text: 'overdue.notPosted.do',
    recordText: 'overdue.notPosted.record',
    askText: 'act.post.ask',
    record: null,
    isPressing: false,
    saves: ['report'],
  },
  'cut it': {
    text: 'act.cut.do',
    recordText: 'act.cut.record',
    askText: 'act.cut.ask',
    record: 'collected',
    isPressing: false,
    saves: ['sample', 'report'],
  },
  'hand it over': {
    text: 'act.handOver.do',
    recordText: 'act.handOver.record',
    askText: 'act.handOver.ask',
    record: 'dispatched',
    isPressing: false,
    saves: ['sample'],
  },
  'receive it': {
    text: 'act.receive.do',
    // To log a receipt is to record it.
    recordText: 'act.receive.do',
    askText: 'act.receive.ask',
    record: 'received',
    isPressing: false,
    saves: ['sample'],
  },
  'condition it': {
    text: 'act.condition.do',
    recordText: 'act.condition.record',
    askText: 'act.condition.ask',
    record: 'conditioned',
    isPressing: false,
    saves: ['sample'],
  },
  'load it': {
    text: 'act.load.do',
    recordText: 'act.load.record',
    askText: 'act.load.ask',
    record: 'loaded',
    isPressing: false,
    saves: ['sample'],
  },
  'give the time': {
    text: 'act.giveTime.do',
    recordText: 'act.giveTime.do',
    askText: 'act.giveTime.ask',
    record: null,
    isPressing: true,
    saves: [],
  },
  'replace it': {
    text: 'act.replace.do',
    recordText: 'act.replace.do',
    askText: 'act.replace.ask',
    record: null,
    isPressing: true,
    saves: ['report'],
  },
  'cut its replacement': {
    text: 'act.cutAgain.do',
    recordText: 'act.cutAgain.do',
    askText: 'act.cutAgain.do',
    record: null,
    // It waits for the kit, or for the programme to name the spare one.
    isPressing: false,
    saves: ['report'],
  },
  'stop or go on': {
    text: 'act.stopOrGoOn.do',
    recordText: 'act.stopOrGoOn.do',
    askText: 'act.stopOrGoOn.ask',
    record: null,
    isPressing: true,
    saves: [],
  },
  'hold the report': {
    text: 'act.holdReport.do',
    recordText: 'act.holdReport.do',
    askText: 'act.holdReport.ask',
    record: null,
    isPressing: true,
    saves: [],
  },
  'report it': {
    text: 'act.report.do',
    recordText: 'act.report.record',
    askText: 'act.report.ask',
    record: 'reported',
    isPressing: false,
    saves: [],
  },
  'review the certificate': {
    text: 'act.review.do',
    recordText: 'act.review.do',
    askText: 'act.review.ask',
    record: 'ruling',
    isPressing: true,
    saves: [],
  },
  'go on, hold the report': {
    text: 'act.goOn.do',
    recordText: 'act.goOn.do',
    askText: 'act.goOn.ask',
    record: null,
    isPressing: false,
    saves: [],
  },
  'send the form copy': {
    text: 'overdue.noFormCopy.do',
    recordText: 'overdue.noFormCopy.record',
    askText: 'act.formCopy.ask',
    record: 'form copy',
    isPressing: false,
    saves: [],
  },
  'wait for the ruling': alike('act.waitForRuling.do', null, false, []),
} satisfies Record<string, SampleActRow>

export type ActName = keyof typeof ROWS

export const SAMPLE_ACTS: Readonly<Record<ActName, SampleActRow>> = ROWS
const ORDER = Object.keys(ROWS)

/** Orders acts by what they save: what presses first, then in the order of the table. */
export function compareActs(
  a: { act: ActName; isUrgent: boolean },
  b: { act: ActName; isUrgent: boolean },
): number {
  return Number(b.isUrgent) - Number(a.isUrgent) || ORDER.indexOf(a.act) - ORDER.indexOf(b.act)
}

/** Whether someone is to cut, which needs a caution. */
export function isCutting(act: ActName | null): boolean {
  return act === 'cut it' || act === 'cut it again' || act === 'cut its replacement'
}
