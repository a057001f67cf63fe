import { formatDayNumber, formatLongInstant } from '@/app/ui/words/instant'
import type { Translate } from '@/lib/messages/translate'
import type { Arrivals } from '@/lib/store/read/arrivals/arrivals'

type Laboratory = Arrivals['laboratories'][number]

/** How many samples are on their way, how many are cut but still at a plant, and how many are late. */
export function formatArrivalsHeading(t: Translate, laboratories: readonly Laboratory[]): string {
  const coming = laboratories.flatMap((one) => one.coming)
  const cut = countSamples(coming.filter(({ handedOverAt }) => handedOverAt === null))
  const total = countSamples(coming) + laboratories.reduce((sum, { unpredicted }) => sum + unpredicted, 0)
  if (total === 0) return t('arrivals.heading.none')
  if (total === cut) return t('arrivals.heading.onlyCut', { count: cut })
  const late = countSamples(coming.filter(({ lateSinceDay }) => lateSinceDay !== null))
  return t('arrivals.heading.onTheWay', { count: total - cut, cut, late })
}

/** The time at the laboratory, what its next open day brings, and how many arrivals cannot be predicted. */
export function formatLaboratorySummary(
  t: Translate,
  { days, unpredicted, zone }: Laboratory,
  asOf: number,
): string {
  const sentences = [t('arrivals.laboratory.time', { time: formatLongInstant(t, asOf, zone, asOf) })]
  const next = days[0]
  if (next) {
    const day = formatDayNumber(t, next.day, zone, asOf)
    sentences.push(t('arrivals.laboratory.expected', { day, samples: formatSampleRange(t, next) }))
  }
  if (unpredicted > 0) sentences.push(t('arrivals.laboratory.unpredicted', { count: unpredicted }))
  return sentences.join(' ')
}

/** How many samples to expect on a day, in 8 of 10 cases: "no samples", "2 samples", "up to 3 samples", "1 to 4 samples". */
export function formatSampleRange(t: Translate, { low, high }: { low: number; high: number }): string {
  if (high === 0) return t('arrivals.range.none')
  if (low === high) return t('arrivals.range.exact', { count: low })
  return low === 0 ? t('arrivals.range.upTo', { count: high }) : t('arrivals.range.between', { low, high })
}

function countSamples(coming: readonly { samples: readonly unknown[] }[]): number {
  return coming.reduce((sum, { samples }) => sum + samples.length, 0)
}
