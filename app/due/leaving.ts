import type { Overdue } from '@/lib/schedule/overdueKinds'
import { readSnooze } from '@/lib/schedule/snooze'
import type { DueWork } from '@/lib/store/read/due/dueWork'
import type { Leaving } from './LeaveAside'

/** What is overdue of this name, left aside or not; null where a scope sees no such thing. */
export function overdueNamed({ pressing, aside }: DueWork, subject: string): Overdue | null {
  const all = [...pressing, ...aside.map(({ overdue }) => overdue)]
  return all.find((one) => one.subject === subject) ?? null
}

/** What an address brings back of a form that was not taken, judged again: no sentence is taken from an address. */
export function leavingOf(named: (name: string) => string | undefined, work: DueWork): Leaving {
  const until = (named('until') ?? '').slice(0, 100)
  const reason = (named('reason') ?? '').slice(0, 1000)
  const overdue = overdueNamed(work, named('aside') ?? '')
  if (overdue === null) return { subject: null, until: '', reason: '', faults: [] }
  const read = readSnooze({ until, reason }, overdue.zone, work.asOf)
  return { subject: overdue.subject, until, reason, faults: 'faults' in read ? read.faults : [] }
}
