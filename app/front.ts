import type { IncomingHttpHeaders } from 'node:http'
import { answerInTurn } from '@/lib/access/session/clientTurns'
import { countPage } from '@/lib/access/session/pageLimit'
import { chooseLanguage } from '@/lib/messages/chooseLanguage'
import type { PlainMessageKey } from '@/lib/messages/message'
import { type DatabaseFault, findDatabaseFault, isBusy } from '@/lib/store/scope/unavailable'
import { renderPlainPage } from './api/plainPage'
import { RETRY_AFTER_SECONDS } from './api/withErrorHandling'

/** What the server in front of Next asks (`lib/commands/pages.mjs`), which is not built with the pages. */
export interface Front {
  answerInTurn: typeof answerInTurn
  /** Counts a request for a page. Returns the answer if it is refused: 429 over the limit, 503 without a database. */
  judgePage(headers: IncomingHttpHeaders, path: string): Promise<Response | null>
  /** The page in place of one whose data cannot be read now: 503. */
  renderUnavailable(headers: IncomingHttpHeaders, path: string, fault: Fault): Response
}

type Fault = DatabaseFault | 'busy'

const CAUSES: Record<Fault, PlainMessageKey> = {
  busy: 'site.unavailable.busy',
  unreachable: 'site.unavailable.unreachable',
  missing: 'site.unavailable.missing',
  crowded: 'site.unavailable.crowded',
  'read-only': 'site.unavailable.readOnly',
  full: 'site.unavailable.full',
}

/** Lets the server in front of Next ask. It finds the functions on `globalThis`. */
export function openFront(): void {
  const shared = globalThis as typeof globalThis & { holdfastFront?: Front }
  shared.holdfastFront = { answerInTurn, judgePage, renderUnavailable }
}

async function judgePage(headers: IncomingHttpHeaders, path: string): Promise<Response | null> {
  try {
    const seconds = await countPage(toHeaders(headers), path)
    if (seconds === 0) return null
    const t = chooseLanguage(headers['accept-language'] ?? null)
    const words = [t('site.limit.heading'), t('site.limit.cause', { seconds: String(seconds) })] as const
    return renderRefusal(headers, path, 429, words, seconds)
  } catch (error) {
    const fault = isBusy(error) ? 'busy' : findDatabaseFault(error)
    if (fault === null) throw error
    return renderUnavailable(headers, path, fault)
  }
}

function renderUnavailable(headers: IncomingHttpHeaders, path: string, fault: Fault): Response {
  const t = chooseLanguage(headers['accept-language'] ?? null)
  const words = [t('site.unavailable.heading'), t(CAUSES[fault])] as const
  return renderRefusal(headers, path, 503, words, RETRY_AFTER_SECONDS)
}

function renderRefusal(
  headers: IncomingHttpHeaders,
  path: string,
  status: number,
  [heading, sentence]: readonly [string, string],
  seconds: number,
): Response {
  const t = chooseLanguage(headers['accept-language'] ?? null)
  // Two slashes would lead to another site.
  const link = { href: path.replace(/^\/+/, '/'), name: t('site.error.retry') }
  return renderPlainPage(t, status, heading, sentence, link, { headers: { 'retry-after': String(seconds) } })
}

function toHeaders(headers: IncomingHttpHeaders): Headers {
  return new Headers(
    Object.entries(headers).flatMap(([name, value]) =>
      value === undefined ? [] : [[name, String(value)] as [string, string]],
    ),
  )
}
