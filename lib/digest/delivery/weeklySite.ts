import { environment } from '@/lib/store/environment'
import { sharedSecret, siteUrl } from '@/lib/store/site'
import { mailSettings } from './mail'

/** Whom the weekly mail is from and where its links lead, as this process is set up. */
export function weeklySite() {
  const url = siteUrl()
  return {
    url,
    from: mailSettings(url).from,
    replyTo: environment().mailReplyTo,
    secret: sharedSecret(),
  }
}
