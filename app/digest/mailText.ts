import { formatKitCode } from '@/lib/custody/kitCode'
import { parseOccasion } from '@/lib/digest/alerts/alertOccasion'
import type { AlertKind } from '@/lib/judgement/alertKinds'
import type { MessageKey } from '@/lib/messages/message'
import type { Translate } from '@/lib/messages/translate'
import type { listMails } from '@/lib/store/mail/mailStatus'

type MailStatus = Pick<
  Awaited<ReturnType<typeof listMails>>[number],
  'state' | 'tries' | 'carrier' | 'partOf'
>

/** What became of a mail, as a sentence. */
export function describeStatus(t: Translate, { state, tries, carrier, partOf }: MailStatus): string {
  switch (state) {
    case 'waiting':
      return tries === 0 ? t('mailPage.status.waiting') : t('mailPage.status.tried', { count: tries })
    case 'sent':
      return t('mailPage.status.sent')
    case 'written':
      return t('mailPage.status.written')
    case 'carried':
      if (carrier !== null) return t('mailPage.status.carried', { name: carrier })
      return partOf === null
        ? t('mailPage.status.carriedByOther')
        : t('mailPage.status.partOf', { occasion: describeOccasion(t, partOf) })
    case 'nothing to say':
      return t('mailPage.status.nothingToSay')
    case 'refused':
      return t('mailPage.status.refused')
    case 'given up':
      return t('mailPage.status.givenUp')
    case 'uncertain':
      return t('mailPage.status.uncertain')
  }
}

const ALERT_OCCASIONS: Readonly<
  Record<AlertKind, Exclude<Extract<MessageKey, `mailPage.occasion.${string}`>, 'mailPage.occasion.week'>>
> = {
  'at risk': 'mailPage.occasion.atRisk',
  lapsed: 'mailPage.occasion.lapsed',
  arrived: 'mailPage.occasion.arrived',
  hold: 'mailPage.occasion.hold',
}

/** The occasion of a mail: a week, or an alert about a sample and `more` others with the same change. */
export function describeOccasion(t: Translate, occasion: string, more = 0): string {
  const alert = parseOccasion(occasion)
  if (alert === null) return t('mailPage.occasion.week', { week: occasion })
  return t(ALERT_OCCASIONS[alert.kind], { sample: formatKitCode(alert.code), more })
}
