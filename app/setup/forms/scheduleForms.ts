import {
  type CertificateContent,
  type DutyContent,
  type FamilyContent,
  type ShutdownContent,
  shutdownCode,
} from '@/lib/custody/testingEntries'
import type { EntryContent } from '@/lib/store/ledger/registerEntries'
import { emptyToUndefined, type FormValues, splitParts } from './formValues'

export function toFamilyValues({ code, name, members, tested }: FamilyContent): FormValues {
  return { code, name, members: members.join('; '), tested }
}

export function parseFamily({ code, name, members, tested }: FormValues): EntryContent {
  return { code, name, members: splitParts(members, /[\n;]/), tested }
}

export function toCertificateValues({
  code,
  product = '',
  family = '',
  issued,
  expires,
}: CertificateContent): FormValues {
  return { code, product, family, issued, expires }
}

export function parseCertificate({ code, product, family, issued, expires }: FormValues): EntryContent {
  return { code, product: emptyToUndefined(product), family: emptyToUndefined(family), issued, expires }
}

/** The numbers of a duty; content, form and CSV use the same names. */
export const DUTY_COUNTS = [
  'everyMonths',
  'windowDays',
  'kitDays',
  'loadDays',
  'testDays',
  'reportDays',
] as const

export function toDutyValues(duty: DutyContent): FormValues {
  const { code, laboratory, first, product = '', family = '', protocol = '', service = '' } = duty
  const counts = DUTY_COUNTS.map((name) => [name, String(duty[name] ?? '')])
  return { code, product, family, protocol, laboratory, service, first, ...Object.fromEntries(counts) }
}

export function parseDuty(values: FormValues): EntryContent {
  const { code, laboratory, first } = values
  // Text that is not a number is kept for the register to refuse.
  const parseCount = (text: string) => (/^\d+$/.test(text) ? Number(text) : text)
  const counts = DUTY_COUNTS.map((name) => [name, values[name] ? parseCount(values[name]) : undefined])
  return {
    code,
    product: emptyToUndefined(values.product),
    family: emptyToUndefined(values.family),
    protocol: emptyToUndefined(values.protocol),
    laboratory,
    service: emptyToUndefined(values.service),
    first,
    ...Object.fromEntries(counts),
  }
}

export function toShutdownValues({ plant, from, to, reason = '' }: ShutdownContent): FormValues {
  return { plant, from, to, reason }
}

export function parseShutdown({ plant = '', from = '', to, reason }: FormValues): EntryContent {
  return {
    code: shutdownCode(plant, from),
    plant,
    from,
    to: emptyToUndefined(to) ?? from,
    reason: emptyToUndefined(reason),
  }
}
