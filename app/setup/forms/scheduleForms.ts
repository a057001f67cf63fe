import {
  type CertificateContent,
  type DutyContent,
  type FamilyContent,
  type ShutdownContent,
  shutdownCode,
} from '@/lib/custody/testingEntries'
import type { EntryContent } from '@/lib/store/ledger/registerEntries'
import { emptyToUndefined, type FormValues, splitParts } from './formValues'

/** A family, certificate, duty or shutdown as its form and its CSV have it: a field for each thing it says. */

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

/** What a duty counts, as its content and its form name it. */
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
  // What is no number stays the text that it is, and the register says so.
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
