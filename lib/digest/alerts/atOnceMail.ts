import type pg from 'pg'
import type { AtOnceKind } from '@/lib/judgement/atOnceKinds'
import { displayCode } from '@/lib/judgement/dueWords'
import { toScope } from '@/lib/policy/scope'
import { type ClaimedMail, carriedNames, occasionsOf } from '@/lib/store/mail/digestMails'
import type { DigestPerson } from '@/lib/store/people/digestPeople'
import { type SampleDossier, sampleDossier } from '@/lib/store/read/sample/sampleDossier'
import { addressOf } from '../weekly/carriers'
import { dateWords } from '../weekly/dateWords'
import {
  bareAddress,
  type DigestSite,
  messageIdOf,
  type Outgoing,
  stopAddress,
  wireMessage,
} from '../weekly/digestMail'
import { footOf, type Outline, type OutlineLine } from '../weekly/sections'
import { writeHtml } from '../weekly/writeHtml'
import { writeText } from '../weekly/writeText'
import { readOccasion } from './atOnceOccasion'
import { AT_ONCE_FOR_MS } from './atOnceRound'
import { AT_ONCE, type AtOnceReader, type TurnWords } from './atOnceWords'

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

/** A sample, and how it turned. */
interface TurnedSample {
  kind: AtOnceKind
  dossier: SampleDossier
}

interface Reader {
  person: AtOnceReader
  /** Names of whom the reader stands in for, or shares a mailbox with. */
  standsFor: readonly string[]
  siteUrl: string
  stopUrl: string
}

/**
 * What became of one sample, or of several that turned alike, in words for a mail of its own, as of `now` (ms UTC). Null
 * where nothing of it holds (any more).
 */
function atOnceOutline(turned: readonly TurnedSample[], now: number, reader: Reader): Outline | null {
  const { person, standsFor, siteUrl, stopUrl } = reader
  const words = dateWords(person.language, { zone: person.zone, asOf: now })
  const told = turned
    .flatMap(({ kind, dossier }) => {
      const found = AT_ONCE[kind].tell(dossier, words, person)
      return found ? [{ kind, dossier, words: found }] : []
    })
    .sort((a, b) => dueOf(a) - dueOf(b) || (codeOf(a) < codeOf(b) ? -1 : 1))
  const [first] = told
  if (!first) return null
  const isOne = told.length === 1
  const turn = `${subjectOf(told.map(codeOf))} ${AT_ONCE[first.kind].turned[isOne ? 'one' : 'several']}`
  const why = whyOfAll(told.map((one) => one.words))
  const because = isOne ? null : same(told.map((one) => one.words.next.because))
  const isTheirs = told.some((one) => one.words.isTheirs)
  return {
    subject: `Holdfast: ${turn}`,
    lead: [`${turn}.`, ...(why === null ? [] : [why])].join(' '),
    sections: [
      {
        heading: isTheirs ? 'What to do' : `Nothing for you to do: how ${isOne ? 'it stands' : 'they stand'}`,
        note: because && `Each ${because}.`,
        groups: grouped(told, (one) => lineOf(one, { isWhySaid: why !== null, because, siteUrl })),
        more: null,
      },
    ],
    foot: footOf({
      cause: `Sent at once, as of ${words.time(now, person.zone)}.`,
      standsFor,
      asksToCut: told.some((one) => one.words.asksToCut),
      siteUrl,
      stop: { text: 'Stop mails at once', url: stopUrl },
    }),
  }
}

type Worded = TurnedSample & { words: TurnWords }

/** Both of two, and how many of more. */
function subjectOf(codes: readonly string[]): string {
  return codes.length > 2 ? `${codes.length} samples` : codes.join(' and ')
}

/** Why, where one sentence says it of all of them; else each says its own. */
function whyOfAll(all: readonly TurnWords[]): string | null {
  return same(all.map(({ why }) => (all.length === 1 ? why.one : why.several)))
}

/** What all of them are; null where they differ. */
function same(all: readonly string[]): string | null {
  const [first = null, ...more] = new Set(all)
  return more.length === 0 ? first : null
}

function lineOf(
  { words: { next, why } }: Worded,
  said: { isWhySaid: boolean; because: string | null; siteUrl: string },
): OutlineLine {
  return {
    act: { text: next.act, url: said.siteUrl + next.path },
    why: said.because === null ? `it ${next.because}` : null,
    when: next.when,
    stake: said.isWhySaid ? null : why.one,
    isOverdue: false,
  }
}

function grouped(told: readonly Worded[], line: (one: Worded) => OutlineLine) {
  const groups = new Map<string, OutlineLine[]>()
  for (const one of told) {
    const heading = sampleWords(one.dossier)
    groups.set(heading, [...(groups.get(heading) ?? []), line(one)])
  }
  return [...groups].map(([heading, lines]) => ({ heading, lines }))
}

function sampleWords({ row, plant }: SampleDossier): string {
  const product = row.productName ?? row.product
  return [product ?? 'Its product is not known yet', ...(row.lot ? [`lot ${row.lot}`] : []), plant.name].join(
    ', ',
  )
}

/** When what is running runs out, ms UTC. */
function dueOf({ dossier: { row } }: TurnedSample): number {
  return row.binding?.dueAt ?? Number.MAX_VALUE
}

function codeOf({ dossier: { row } }: TurnedSample): string {
  return displayCode(row.code)
}
