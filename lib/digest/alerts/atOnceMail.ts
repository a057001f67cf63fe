import type pg from 'pg'
import { toScope } from '@/lib/policy/scope'
import { type ClaimedMail, carriedNames, occasionsOf } from '@/lib/store/mail/digestMails'
import type { DigestPerson } from '@/lib/store/people/digestPeople'
import { sampleDossier } from '@/lib/store/read/sample/sampleDossier'
import { addressOf } from '../weekly/carriers'
import {
  bareAddress,
  type DigestSite,
  messageIdOf,
  type Outgoing,
  stopAddress,
  wireMessage,
} from '../weekly/digestMail'
import { writeHtml } from '../weekly/writeHtml'
import { writeText } from '../weekly/writeText'
import { readOccasion } from './atOnceOccasion'
import { atOnceOutline, type TurnedSample } from './atOnceOutline'
import { AT_ONCE_FOR_MS } from './atOnceRound'

export interface AtOnceBasis {
  /** Works as `holdfast_app`, and as `holdfast_door`. */
  app: pg.Pool
  door: pg.Pool
  site: DigestSite
  /** As of when, ms UTC. */
  now: number
}

/**
 * The mail that tells of one turn of a sample, or of several of a kind, in the scope of its reader and as it stands at
 * `now`. What holds no longer, is too old to be told at once, or is not the reader's to see or wish any more is left out;
 * null where that is all of it.
 */
export async function composeAtOnce(
  { app, door, site, now }: AtOnceBasis,
  claimed: ClaimedMail,
  person: DigestPerson | undefined,
): Promise<Outgoing | null> {
  if (!person || person.atOnceIsStopped) return null
  const scope = toScope(person)
  const told = (await occasionsOf(door, claimed)).filter(({ dueAt }) => now - dueAt < AT_ONCE_FOR_MS)
  const carried = await carriedNames(
    door,
    person.id,
    told.map(({ occasion }) => occasion),
  )
  const turned: TurnedSample[] = []
  const others = new Set<string>()
  for (const { occasion } of told) {
    const turn = readOccasion(occasion)
    if (!turn || (person.atOnce[turn.kind] === undefined && !carried.has(occasion))) continue
    const dossier = await sampleDossier(app, scope, turn.code, now)
    if (!dossier) continue
    turned.push({ kind: turn.kind, dossier })
    for (const name of carried.get(occasion) ?? []) others.add(name)
  }
  const standsFor = [...others].sort()
  const stopUrl = stopAddress(site, person.id, person.atOnceSerial, 'at once')
  const outline = atOnceOutline(turned, now, { person, standsFor, siteUrl: site.url, stopUrl })
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
