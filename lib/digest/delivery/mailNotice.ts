import type { Person } from '@/lib/policy/principal'
import { siteUrl } from '@/lib/store/site'
import { mailSettings } from './mail'

/** The folder that mail is written to for want of a mail server, told to an administrator only; else null. */
export function mailNotice(person: Person | null): string | null {
  if (!person?.roles.isAdministrator) return null
  const { smtpUrl, outbox } = mailSettings(siteUrl())
  return smtpUrl ? null : outbox
}
