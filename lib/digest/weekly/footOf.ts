import { CUTTING_CAUTION } from '@/lib/schedule/cuttingCaution'
import type { Link, Outline } from './sections'

interface FootBasis {
  /** Why it came, and as of when, as a sentence. */
  cause: string
  /** Names of whom the reader stands in for, or shares a mailbox with. */
  standsFor: readonly string[]
  asksToCut: boolean
  siteUrl: string
  stop: Link
}

/** What stands at the end of every mail. */
export function footOf({ cause, standsFor, asksToCut, siteUrl, stop }: FootBasis): Outline['foot'] {
  return {
    standing: [
      cause,
      ...(standsFor.length > 0 ? [`It is also for ${standsFor.join(', ')}.`] : []),
      'Holdfast informs; the laboratory and the programme decide.',
    ].join(' '),
    caution: asksToCut ? CUTTING_CAUTION : null,
    choose: { text: 'Choose what is sent to you', url: `${siteUrl}/me` },
    stop,
  }
}
