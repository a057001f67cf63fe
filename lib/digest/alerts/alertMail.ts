import type pg from 'pg'
import type { AlertKind } from '@/lib/judgement/alertKinds'
import { formatKitCode } from '@/lib/judgement/dueText'
import type { Translate } from '@/lib/messages/translate'
import { toScope } from '@/lib/policy/scope'
import { type ClaimedMail, listCarriedNames, listOccasions } from '@/lib/store/mail/digestMails'
import type { DigestPerson } from '@/lib/store/people/digestPeople'
import { getSampleDossier, type SampleDossier } from '@/lib/store/read/sample/sampleDossier'
import { createDateFormat } from '../weekly/dateFormat'
import {
  buildStopUrl,
  createMessageId,
  type MailSite,
  type OutgoingMail,
  parseAddress,
  renderMessage,
} from '../weekly/digestMail'
import { getMailAddress } from '../weekly/mailboxGroups'
import { renderHtml } from '../weekly/renderHtml'
import { renderText } from '../weekly/renderText'
import { type ContentLine, type MailContent, renderFooter } from '../weekly/sections'
import { parseOccasion } from './alertOccasion'
import { ALERTS, type AlertReader, type AlertText } from './alertText'
import { ALERT_MAX_AGE_MS } from './enqueueAlerts'

export interface AlertContext {
  /** Works as `holdfast_app`, and as `holdfast_door`. */
  app: pg.Pool
  authPool: pg.Pool
  site: MailSite
  /** As of when, ms UTC. */
  now: number
}

/**
 * The mail that tells of one turn of a sample, or of several of a kind, in the scope of its reader and as it stands at
 * `now`. What holds no longer, is too old to be told at once, or is not the reader's to see or wish any more is left out;
 * null where that is all of it.
 */
export async function composeAlert(
  t: Translate,
  { app, authPool, site, now }: AlertContext,
  claimed: ClaimedMail,
  person: DigestPerson | undefined,
): Promise<OutgoingMail | null> {
  if (!person || person.atOnceIsStopped) return null
  const scope = toScope(person)
  const told = (await listOccasions(authPool, claimed)).filter(({ dueAt }) => now - dueAt < ALERT_MAX_AGE_MS)
  const carried = await listCarriedNames(
    authPool,
    person.id,
    told.map(({ occasion }) => occasion),
  )
  const turned: AlertSample[] = []
  const others = new Set<string>()
  for (const { occasion } of told) {
    const turn = parseOccasion(occasion)
    if (!turn || (person.atOnce[turn.kind] === undefined && !carried.has(occasion))) continue
    const dossier = await getSampleDossier(app, scope, turn.code, now)
    if (!dossier) continue
    turned.push({ kind: turn.kind, dossier })
    for (const name of carried.get(occasion) ?? []) others.add(name)
  }
  const standsFor = [...others].sort()
  const stopUrl = buildStopUrl(site, person.id, person.atOnceSerial, 'at once')
  const outline = renderAlert(t, turned, now, { person, standsFor, siteUrl: site.url, stopUrl })
  if (!outline) return null
  const mail = {
    address: getMailAddress(person),
    messageId: createMessageId(claimed, site.url),
    subject: outline.subject,
    text: renderText(t, outline),
    html: renderHtml(t, outline),
    named: [],
  }
  const message = await renderMessage(mail, person.name, site, now, stopUrl, 'at once')
  return { mail, wire: { from: parseAddress(site.from), to: mail.address, message } }
}

/** A sample, and how it turned. */
interface AlertSample {
  kind: AlertKind
  dossier: SampleDossier
}

interface AlertAudience {
  person: AlertReader
  /** Names of whom the reader stands in for, or shares a mailbox with. */
  standsFor: readonly string[]
  siteUrl: string
  stopUrl: string
}

/**
 * What became of one sample, or of several that turned alike, in words for a mail of its own, as of `now` (ms UTC). Null
 * where nothing of it holds (any more).
 */
function renderAlert(
  t: Translate,
  turned: readonly AlertSample[],
  now: number,
  reader: AlertAudience,
): MailContent | null {
  const { person, standsFor, siteUrl, stopUrl } = reader
  const words = createDateFormat(t, person.language, { zone: person.zone, asOf: now })
  const told = turned
    .flatMap(({ kind, dossier }) => {
      const found = ALERTS[kind].describe(t, dossier, words, person)
      return found ? [{ kind, dossier, words: found }] : []
    })
    .sort((a, b) => getDueAt(a) - getDueAt(b) || (formatCode(a) < formatCode(b) ? -1 : 1))
  const [first] = told
  if (!first) return null
  const isOne = told.length === 1
  const turn = `${formatCodes(told.map(formatCode))} ${ALERTS[first.kind].headline[isOne ? 'one' : 'several']}`
  const why = findCommonReason(told.map((one) => one.words))
  const because = isOne ? null : findCommon(told.map((one) => one.words.next.because))
  const isTheirs = told.some((one) => one.words.isTheirs)
  return {
    subject: `Holdfast: ${turn}`,
    intro: [`${turn}.`, ...(why === null ? [] : [why])].join(' '),
    sections: [
      {
        heading: isTheirs ? 'What to do' : `Nothing for you to do: how ${isOne ? 'it stands' : 'they stand'}`,
        note: because && `Each ${because}.`,
        groups: groupByProduct(told, (one) => renderLine(one, { isWhySaid: why !== null, because, siteUrl })),
        more: null,
      },
    ],
    footer: renderFooter(t, {
      cause: `Sent at once, as of ${words.time(now, person.zone)}.`,
      alsoFor: standsFor,
      asksToCut: told.some((one) => one.words.asksToCut),
      siteUrl,
      stop: { text: 'Stop mails at once', url: stopUrl },
    }),
  }
}

type DescribedSample = AlertSample & { words: AlertText }

/** Both of two, and how many of more. */
function formatCodes(codes: readonly string[]): string {
  return codes.length > 2 ? `${codes.length} samples` : codes.join(' and ')
}

/** Why, where one sentence says it of all of them; else each says its own. */
function findCommonReason(all: readonly AlertText[]): string | null {
  return findCommon(all.map(({ why }) => (all.length === 1 ? why.one : why.several)))
}

/** What all of them are; null where they differ. */
function findCommon(all: readonly string[]): string | null {
  const [first = null, ...more] = new Set(all)
  return more.length === 0 ? first : null
}

function renderLine(
  { words: { next, why } }: DescribedSample,
  said: { isWhySaid: boolean; because: string | null; siteUrl: string },
): ContentLine {
  return {
    act: { text: next.act, url: said.siteUrl + next.path },
    why: said.because === null ? `it ${next.because}` : null,
    when: next.when,
    stake: said.isWhySaid ? null : why.one,
    isOverdue: false,
  }
}

function groupByProduct(told: readonly DescribedSample[], line: (one: DescribedSample) => ContentLine) {
  const groups = new Map<string, ContentLine[]>()
  for (const one of told) {
    const heading = formatSample(one.dossier)
    groups.set(heading, [...(groups.get(heading) ?? []), line(one)])
  }
  return [...groups].map(([heading, lines]) => ({ heading, lines }))
}

function formatSample({ row, plant }: SampleDossier): string {
  const product = row.productName ?? row.product
  return [product ?? 'Its product is not known yet', ...(row.lot ? [`lot ${row.lot}`] : []), plant.name].join(
    ', ',
  )
}

/** When what is running runs out, ms UTC. */
function getDueAt({ dossier: { row } }: AlertSample): number {
  return row.binding?.dueAt ?? Number.MAX_VALUE
}

function formatCode({ dossier: { row } }: AlertSample): string {
  return formatKitCode(row.code)
}
