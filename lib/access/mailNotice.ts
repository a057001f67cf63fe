import { siteUrl } from '../store/site'
import { mailSettings } from './mail'
import { visitor } from './visitor'

/** The folder that mail is written to for want of a mail server, told to an administrator only; else null. */
export async function mailNotice(): Promise<string | null> {
  const person = await visitor()
  if (!person?.roles.isAdministrator) return null
  const { smtpUrl, outbox } = mailSettings(siteUrl())
  return smtpUrl ? null : outbox
}
