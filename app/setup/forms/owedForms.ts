import {
  type CertificateContent,
  type DutyContent,
  type FamilyContent,
  type ShutdownContent,
  shutdownCode,
} from '@/lib/custody/owedContents'
import type { EntryContent } from '@/lib/store/ledger/registerEntries'
import { type FormValues, optional, partsOf } from './formValues'

/** A family, certificate, duty or shutdown as its form and its CSV have it: a field for each thing it says. */

export function familyValues({ code, name, members, tested }: FamilyContent): FormValues {
  return { code, name, members: members.join('; '), tested }
}

export function familyContent({ code, name, members, tested }: FormValues): EntryContent {
  return { code, name, members: partsOf(members, /[\n;]/), tested }
}

export function certificateValues({
  code,
  product = '',
  family = '',
  issued,
  expires,
}: CertificateContent): FormValues {
  return { code, product, family, issued, expires }
}

export function certificateContent({ code, product, family, issued, expires }: FormValues): EntryContent {
  return { code, product: optional(product), family: optional(family), issued, expires }
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

export function dutyValues(duty: DutyContent): FormValues {
  const { code, laboratory, first, product = '', family = '', protocol = '', service = '' } = duty
  const counts = DUTY_COUNTS.map((name) => [name, String(duty[name] ?? '')])
  return { code, product, family, protocol, laboratory, service, first, ...Object.fromEntries(counts) }
}

export function dutyContent(values: FormValues): EntryContent {
  const { code, laboratory, first } = values
  // What is no number stays the text that it is, and the register says so.
  const numberOf = (text: string) => (/^\d+$/.test(text) ? Number(text) : text)
  const counts = DUTY_COUNTS.map((name) => [name, values[name] ? numberOf(values[name]) : undefined])
  return {
    code,
    product: optional(values.product),
    family: optional(values.family),
    protocol: optional(values.protocol),
    laboratory,
    service: optional(values.service),
    first,
    ...Object.fromEntries(counts),
  }
}

export function shutdownValues({ plant, from, to, reason = '' }: ShutdownContent): FormValues {
  return { plant, from, to, reason }
}

export function shutdownContent({ plant = '', from = '', to, reason }: FormValues): EntryContent {
  return { code: shutdownCode(plant, from), plant, from, to: optional(to) ?? from, reason: optional(reason) }
}
