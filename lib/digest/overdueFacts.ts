import { failedWords } from '@/lib/schedule/failedWords'
import { began } from '@/lib/schedule/milestoneWords'
import type { Overdue, OverdueKind } from '@/lib/schedule/overdue'
import type { SampleRow } from '@/lib/store/sampleRow'
import type { DateWords } from './dateWords'

type Milestone = SampleRow['asksFor'][number]

interface Facts {
  overdue: Overdue
  sample: SampleRow | null
  words: DateWords
}

/** What is known of something overdue, with its days, as the rest of a sentence: "it was cut on Tue 24 November". */
const KNOWN: Record<OverdueKind, (facts: Facts) => string | null> = {
  'duty with no kit': () => 'no kit is issued for its test',
  'kit not posted': ({ sample, overdue, words }) =>
    sample && `issued on ${words.bareDay(sample.issuedAt, overdue.zone)}`,
  'not cut': () => null,
  'not handed over': (facts) => when('collected', facts) ?? when('sealed', facts),
  'under way too long': (facts) => when('dispatched', facts),
  'delivered but not received': (facts) => saidByCarrier(when('delivered', facts)),
  'not loaded in time': (facts) => when('received', facts),
  'lapsed with no re-collection': ({ overdue: { reason, sinceAt, zone }, words }) =>
    `${failedWords(reason)} on ${words.day(sinceAt, zone)}`,
  'deviation with no ruling': ({ overdue: { sinceAt, zone }, words }) =>
    `something was found wrong with it on ${words.day(sinceAt, zone)}`,
  'form copy missing': (facts) => when('dispatched', facts),
  'report late': (facts) => when('loaded', facts),
}

/** Since when, where the facts do not say it: the last day on which it was in time. */
const SINCE: Record<OverdueKind, string | null> = {
  'duty with no kit': 'one was to be posted by',
  'kit not posted': 'due',
  'not cut': 'due',
  'not handed over': 'due',
  'under way too long': '95 of 100 like it had arrived by',
  'delivered but not received': 'due',
  'not loaded in time': 'due',
  'lapsed with no re-collection': null,
  'deviation with no ruling': null,
  'form copy missing': 'due',
  'report late': 'due',
}

/** What is recorded beside what is done. */
const RECORDED: Record<OverdueKind, string> = {
  'duty with no kit': '',
  'kit not posted': ' and record it',
  'not cut': ' and record it',
  'not handed over': ' and record it',
  'under way too long': ' and record what it says',
  'delivered but not received': ', or say that it is not there',
  'not loaded in time': ' and record it',
  'lapsed with no re-collection': '',
  'deviation with no ruling': '',
  'form copy missing': ' and record it',
  'report late': ' and record it',
}

/** What is known of it, with its days; null where nothing is. */
export function knownOf(facts: Facts): string | null {
  return KNOWN[facts.overdue.kind](facts)
}

/** Since when, where what is known does not say it; null where it does. */
export function sinceOf({ overdue: { kind, sinceAt, zone }, words }: Facts): string | null {
  const since = SINCE[kind]
  return since && `${since} ${words.day(sinceAt, zone)}`
}

/** How what it asks for goes on: it is settled by being recorded. */
export function recordedOf(kind: OverdueKind): string {
  return RECORDED[kind]
}

function when(milestone: Milestone, { sample, overdue, words }: Facts): string | null {
  const found = sample?.milestones.find((one) => one.milestone === milestone)
  return found ? `${began(milestone)} on ${words.bareDay(found.at, overdue.zone)}` : null
}

function saidByCarrier(said: string | null): string | null {
  return said && `the carrier says ${said}`
}
