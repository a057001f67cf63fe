import { formatKitCode } from '@/lib/custody/kitCode'
import { parseOccasion } from '@/lib/digest/alerts/alertOccasion'
import type { Translate } from '@/lib/messages/translate'
import type { listMails } from '@/lib/store/mail/mailStatus'

export const WEEKDAYS = ['Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday', 'Sunday']

type MailStatus = Pick<
  Awaited<ReturnType<typeof listMails>>[number],
  'state' | 'tries' | 'carrier' | 'partOf'
>

/** What became of a mail, in a sentence. */
export function describeStatus(t: Translate, { state, tries, carrier, partOf }: MailStatus): string {
  switch (state) {
    case 'waiting':
      return tries === 0
        ? 'It is to go now.'
        : `Tried ${tries === 1 ? 'once' : `${tries} times`}, and to be tried again.`
    case 'sent':
      return 'The mail server took it.'
    case 'written':
      return 'Written to the outbox: there is no mail server.'
    case 'carried':
      return partOf !== null && carrier === null
        ? `Told in the mail ${describeOccasion(t, partOf)}.`
        : `Part of the mail of ${carrier ?? 'another'}.`
    case 'nothing to say':
      return 'Not sent: nothing was overdue, or it was stopped.'
    case 'refused':
      return 'The mail server refused it for good. Correct the address.'
    case 'given up':
      return 'Given up after four days of trying.'
    case 'uncertain':
      return 'It may have arrived: the mail server had it, and its answer never came. It is not sent twice.'
  }
}

/** What a mail was for: a week, or a turn of a sample that it tells of at once, and of so many more that turned alike. */
export function describeOccasion(t: Translate, occasion: string, more = 0): string {
  const turn = parseOccasion(occasion)
  if (turn === null) return `week ${occasion}`
  return `at once: ${formatKitCode(turn.code)}${more > 0 ? ` and ${more} more,` : ''} ${turn.kind}`
}
