import { failedWords } from '@/lib/schedule/failedWords'
import { began } from '@/lib/schedule/milestoneWords'
import type { Overdue } from '@/lib/schedule/overdueKinds'
import { OVERDUE } from '@/lib/schedule/overdueKinds'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import type { DateWords } from './dateWords'

interface Facts {
  overdue: Overdue
  sample: SampleRow | null
  words: DateWords
}

/** What is known of it with its days, as the rest of a sentence: "it was cut on Tue 24 November"; null where nothing is. */
export function knownOf({ overdue, sample, words }: Facts): string | null {
  const { kind, reason, sinceAt, zone } = overdue
  const { known, why } = OVERDUE[kind]
  if (known === null || 'text' in known) return known?.text ?? null
  const { day, saidBy } = known
  if (day === 'since') return `${why ?? failedWords(reason)} on ${words.day(sinceAt, zone)}`
  if (day === 'issue') return sample && `issued on ${words.bareDay(sample.issuedAt, zone)}`
  const [found] = day.flatMap(
    (milestone) => sample?.milestones.filter((one) => one.milestone === milestone) ?? [],
  )
  if (!found) return null
  const said = `${began(found.milestone)} on ${words.bareDay(found.at, zone)}`
  return saidBy === undefined ? said : `${saidBy} ${said}`
}

/** Since when, where what is known does not say it; null where it does. */
export function sinceOf({ overdue: { kind, sinceAt, zone }, words }: Facts): string | null {
  const { since } = OVERDUE[kind]
  return since && `${since} ${words.day(sinceAt, zone)}`
}
