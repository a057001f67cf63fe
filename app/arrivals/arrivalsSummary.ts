import { formatDayNumber, formatLongInstant } from '@/app/ui/words/instant'
import { spellCount, spellNumber } from '@/app/ui/words/number'
import type { Translate } from '@/lib/messages/translate'
import { capitalised } from '@/lib/schedule/firstLetter'
import type { Arrivals } from '@/lib/store/read/arrivals/arrivals'

type Laboratory = Arrivals['laboratories'][number]

/** How many samples are on their way, how many are still to leave, and how many should have come. */
export function formatArrivalsHeading(t: Translate, laboratories: readonly Laboratory[]): string {
  const coming = laboratories.flatMap((one) => one.coming)
  const toLeave = countSamples(coming.filter(({ handedOverAt }) => handedOverAt === null))
  const total = countSamples(coming) + laboratories.reduce((sum, { untold }) => sum + untold, 0)
  if (total === 0) return 'Nothing is on its way.'
  if (total === toLeave)
    return `Nothing is on its way; ${spellCount(t, toLeave, 'sample is', 'samples are')} cut and not yet handed over.`
  const late = countSamples(coming.filter(({ lateSinceDay }) => lateSinceDay !== null))
  const onTheWay = spellCount(t, total - toLeave, 'sample is on its way', 'samples are on their way')
  const cut = toLeave === 0 ? '' : `, ${spellNumber(t, toLeave)} more ${toLeave === 1 ? 'is' : 'are'} cut`
  const overdue = late === 0 ? 'none is overdue' : `${spellNumber(t, late)} should have come by now`
  return `${capitalised(onTheWay)}${cut}; ${overdue}.`
}

/** What the laboratory's next open day brings, in a sentence, with the time there. */
export function formatLaboratorySummary(
  t: Translate,
  { days, untold, zone }: Laboratory,
  asOf: number,
): string {
  const there = `${formatLongInstant(t, asOf, zone, asOf)}.`
  const next = days[0]
  const sentences = [there]
  if (next)
    sentences.push(`On ${formatDayNumber(t, next.day, zone, asOf)} expect ${formatSampleRange(t, next)}.`)
  if (untold > 0)
    sentences.push(
      `Of ${spellCount(t, untold, 'more sample', 'more samples')} on the way no record tells when ${untold === 1 ? 'it comes' : 'they come'}.`,
    )
  return sentences.join(' ')
}

/** "no sample", "two samples", "up to three samples", "one to four samples": what eight days of ten like it bring. */
export function formatSampleRange(t: Translate, { low, high }: { low: number; high: number }): string {
  if (high === 0) return 'no sample'
  if (low === high) return spellCount(t, low, 'sample')
  return low === 0
    ? `up to ${spellCount(t, high, 'sample')}`
    : `${spellNumber(t, low)} to ${spellCount(t, high, 'sample')}`
}

function countSamples(coming: readonly { samples: readonly unknown[] }[]): number {
  return coming.reduce((sum, { samples }) => sum + samples.length, 0)
}
