import type { Arrivals } from '@/lib/store'
import { dayNumberWords, headingInstant } from './instantWords'
import { capitalised, countOf, numberWords } from './numberWords'

type Laboratory = Arrivals['laboratories'][number]

/** How many samples are on their way, and how many of them should have come. */
export function arrivalsHeading(laboratories: readonly Laboratory[]): string {
  const coming = laboratories.flatMap((one) => one.coming)
  const total = samplesIn(coming) + laboratories.reduce((sum, { untold }) => sum + untold, 0)
  if (total === 0) return 'Nothing is on its way.'
  const late = samplesIn(coming.filter(({ lateSinceDay }) => lateSinceDay !== null))
  const heading = capitalised(countOf(total, 'sample is on its way', 'samples are on their way'))
  if (late === 0) return `${heading}, none of them overdue.`
  return `${heading}; ${numberWords(late)} should have come by now.`
}

/** What the laboratory's next open day brings, in a sentence, with the time there. */
export function laboratorySentence({ days, untold, zone }: Laboratory, asOf: number): string {
  const there = `${headingInstant(asOf, zone, asOf)}.`
  const next = days[0]
  const sentences = [there]
  if (next) sentences.push(`On ${dayNumberWords(next.day, zone, asOf)} expect ${rangeWords(next)}.`)
  if (untold > 0)
    sentences.push(
      `Of ${countOf(untold, 'more sample', 'more samples')} on the way no record tells when ${untold === 1 ? 'it comes' : 'they come'}.`,
    )
  return sentences.join(' ')
}

/** "no sample", "2 samples", "1 to 4 samples": what eight days of ten like it bring. */
export function rangeWords({ low, high }: { low: number; high: number }): string {
  if (high === 0) return 'no sample'
  if (low === high) return countOf(low, 'sample')
  return `${low === 0 ? 'none' : numberWords(low)} to ${countOf(high, 'sample')}`
}

export function samplesIn(coming: readonly { samples: readonly unknown[] }[]): number {
  return coming.reduce((sum, { samples }) => sum + samples.length, 0)
}
