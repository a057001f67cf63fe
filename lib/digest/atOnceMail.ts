import type pg from 'pg'
import { type ClaimedMail, carriedNames } from '@/lib/store/digestMails'
import type { DigestPerson } from '@/lib/store/digestPeople'
import { sampleDossier } from '@/lib/store/sampleDossier'
import type { AtOnceOccasion } from './atOnceOccasion'
import { atOnceOutline } from './atOnceOutline'
import { AT_ONCE_FOR_MS } from './atOnceRound'
import { addressOf } from './carriers'
import { bareAddress, type DigestSite, messageIdOf, stopAddress, wireMessage } from './digestMail'
import type { Outgoing } from './sendMail'
import { writeHtml } from './writeHtml'
import { writeText } from './writeText'

/**
 * The mail that tells of one turn of a sample, in the scope of its reader and as it stands at `now` (ms UTC). Null where
 * that holds no longer, is too old to be told at once, or is not the reader's to see or wish any more.
 */
export async function composeAtOnce(
  { app, door, site, now }: { app: pg.Pool; door: pg.Pool; site: DigestSite; now: number },
  claimed: ClaimedMail,
  turn: AtOnceOccasion,
  person: DigestPerson | undefined,
): Promise<Outgoing | null> {
  if (!person || person.atOnceIsStopped || now - claimed.dueAt >= AT_ONCE_FOR_MS) return null
  const standsFor = await carriedNames(door, claimed)
  if (person.atOnce[turn.kind] === undefined && standsFor.length === 0) return null
  const { isAdministrator, plants, laboratories } = person
  const dossier = await sampleDossier(app, isAdministrator ? 'all' : { plants, laboratories }, turn.code, now)
  if (!dossier) return null
  const stopUrl = stopAddress(site, person.id, person.atOnceSerial, 'at once')
  const outline = atOnceOutline(dossier, turn.kind, { person, standsFor, siteUrl: site.url, stopUrl })
  if (!outline) return null
  const mail = {
    address: addressOf(person),
    messageId: messageIdOf(claimed, site.url),
    subject: outline.subject,
    text: writeText(outline),
    html: writeHtml(outline),
    named: [],
  }
  const message = await wireMessage(mail, person.name, site, now, stopUrl, 'at once')
  return { mail, wire: { from: bareAddress(site.from), to: mail.address, message } }
}
