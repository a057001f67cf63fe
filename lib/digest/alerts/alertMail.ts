import type pg from 'pg'
import { formatKitCode } from '@/lib/judgement/dueText'
import { chooseLanguage } from '@/lib/messages/chooseLanguage'
import type { Translate } from '@/lib/messages/translate'
import { toScope } from '@/lib/policy/scope'
import { type ClaimedMail, listCarriedNames, listOccasions } from '@/lib/store/mail/digestMails'
import type { DigestPerson } from '@/lib/store/people/digestPeople'
import { judgeSamples } from '@/lib/store/read/judged/judgeSamples'
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
import { ALERTS, type AlertReader, type AlertSample, type AlertText } from './alertText'
import { ALERT_MAX_AGE_MS } from './enqueueAlerts'

export interface AlertContext {
  /** Works as `holdfast_app`. */
  app: pg.Pool
  /** Works as `holdfast_door`. */
  authPool: pg.Pool
  site: MailSite
  /** As of when, ms UTC. */
  now: number
}

/**
 * The alert about one sample, or about several with the same change, in the scope of its reader and as things stand at `now`. A
 * sample is left out if its change no longer holds, is too old, or is no longer the reader's to see or wanted; null if all are.
 */
export async function composeAlert(
  { app, authPool, site, now }: AlertContext,
  claimed: ClaimedMail,
  person: DigestPerson | undefined,
): Promise<OutgoingMail | null> {
  if (!person || person.alertsAreStopped) return null
  const t = chooseLanguage(person.language)
  const scope = toScope(person)
  const occasions = (await listOccasions(authPool, claimed)).filter(
    ({ dueAt }) => now - dueAt < ALERT_MAX_AGE_MS,
  )
  const carried = await listCarriedNames(
    authPool,
    person.id,
    occasions.map(({ occasion }) => occasion),
  )
  const found = new Map<string, Omit<AlertSample, 'judgement'>>()
  const others = new Set<string>()
  for (const { occasion } of occasions) {
    const alert = parseOccasion(occasion)
    if (!alert || (person.alerts[alert.kind] === undefined && !carried.has(occasion))) continue
    const { kind, code, instance } = alert
    const dossier = found.get(code)?.dossier ?? (await getSampleDossier(app, scope, code, now))
    if (!dossier) continue
    const instances = [...(found.get(code)?.instances ?? []), ...(instance === null ? [] : [instance])]
    found.set(code, { kind, dossier, instances })
    for (const name of carried.get(occasion) ?? []) others.add(name)
  }
  const judgements = await judgeSamples(
    app,
    [...found.values()].map(({ dossier }) => dossier.sample.kit),
    now,
  )
  const samples = [...found].flatMap(([code, one]): AlertSample[] => {
    const judgement = judgements.get(code)
    return judgement === undefined ? [] : [{ ...one, judgement }]
  })
  const alsoFor = [...others].sort()
  const stopUrl = buildStopUrl(site, person.id, person.alertsSerial, 'alerts')
  const content = renderAlert(t, samples, now, { person, alsoFor, siteUrl: site.url, stopUrl })
  if (!content) return null
  const mail = {
    address: getMailAddress(person),
    messageId: createMessageId(claimed, site.url),
    subject: content.subject,
    text: renderText(t, content),
    html: renderHtml(t, content),
    named: [],
  }
  const message = await renderMessage(mail, person.name, site, now, stopUrl, 'alerts')
  return { mail, wire: { from: parseAddress(site.from), to: mail.address, message } }
}

interface AlertAudience {
  person: AlertReader
  /** Names of those whom the reader stands in for, or shares a mailbox with. */
  alsoFor: readonly string[]
  siteUrl: string
  stopUrl: string
}

/** The alert about samples with the same change, as of `now` (ms UTC); null if none of it holds any more. */
function renderAlert(
  t: Translate,
  samples: readonly AlertSample[],
  now: number,
  { person, alsoFor, siteUrl, stopUrl }: AlertAudience,
): MailContent | null {
  const dates = createDateFormat(t, person.language, { zone: person.zone, asOf: now })
  const described = samples
    .flatMap((sample): DescribedSample[] => {
      const text = ALERTS[sample.kind].describe(t, sample, dates, person)
      return text ? [{ ...sample, text }] : []
    })
    .sort((a, b) => getDueAt(a) - getDueAt(b) || (formatCode(a) < formatCode(b) ? -1 : 1))
  const [first] = described
  if (!first) return null
  const count = described.length
  const headline = t(ALERTS[first.kind].headline, { count, samples: t.list(described.map(formatCode)) })
  const form = count === 1 ? 'one' : 'several'
  const why = findCommon(described.map(({ text }) => text.why[form]))
  const because = count === 1 ? null : findCommon(described.map(({ text }) => text.next.because.several))
  const isTheirs = described.some(({ text }) => text.isTheirs)
  return {
    subject: t('alert.subject', { headline }),
    intro: [[t('alert.headline', { headline }), ...(why === null ? [] : [why])].join(' ')],
    sections: [
      {
        heading: t(isTheirs ? 'alert.toDo.heading' : 'alert.nothing.heading'),
        note: because,
        groups: groupByProduct(t, described, (one) => ({
          act: { text: one.text.next.act, url: siteUrl + one.text.next.path },
          why: because === null ? one.text.next.because.one : null,
          when: one.text.next.when,
          stake: why === null ? one.text.why.one : null,
          isOverdue: false,
        })),
        more: null,
      },
    ],
    footer: renderFooter(t, {
      cause: t('alert.footer.asOf', { time: dates.time(now, person.zone) }),
      alsoFor,
      asksToCut: described.some(({ text }) => text.asksToCut),
      siteUrl,
      stop: { text: t('alert.footer.stop'), url: stopUrl },
    }),
  }
}

type DescribedSample = AlertSample & { text: AlertText }

/** The sentence that holds for all of them; null where they differ. */
function findCommon(sentences: readonly (string | null)[]): string | null {
  const [first = null, ...more] = new Set(sentences)
  return more.length === 0 ? first : null
}

function groupByProduct(
  t: Translate,
  samples: readonly DescribedSample[],
  renderLine: (one: DescribedSample) => ContentLine,
) {
  const groups = new Map<string, ContentLine[]>()
  for (const one of samples) {
    const heading = formatProduct(t, one.dossier)
    groups.set(heading, [...(groups.get(heading) ?? []), renderLine(one)])
  }
  return [...groups].map(([heading, lines]) => ({ heading, lines }))
}

function formatProduct(t: Translate, { row, plant }: SampleDossier): string {
  const product = row.productName ?? row.product ?? t('board.sample.unknownProduct')
  return row.lot
    ? t('alert.sample.lot', { product, lot: row.lot, plant: plant.name })
    : t('alert.sample', { product, plant: plant.name })
}

/** When the running limit ends, ms UTC. */
function getDueAt({ dossier: { row } }: AlertSample): number {
  return row.binding?.dueAt ?? Number.MAX_VALUE
}

function formatCode({ dossier: { row } }: AlertSample): string {
  return formatKitCode(row.code)
}
