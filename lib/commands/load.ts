import { setTimeout as delay } from 'node:timers/promises'
import { parseArgs } from 'node:util'
import type { Answer, AnswerRow } from '@/lib/intake/answers/answer'
import type { RawItem } from '@/lib/intake/formats/body'
import type { Problem } from '@/lib/intake/formats/problem'
import { english } from '@/lib/messages/english'
import { getEnvironment } from '@/lib/store/environment'
import { InputError, readTextFile } from './fileCommand'
import { findSize, openFileItems } from './fileItems'
import { ProgressBar } from './progressBar'

/**
 * Sends a register and files of events to a running server. Exit 0; 1 if the server does not answer or refuses the
 * register; 2 if a file or an option cannot be used; 3 if events were refused.
 */
const USAGE =
  'Usage: npm run load -- register.json events.ndjson|events.csv|events.json ... --key hfk_... [--to http://localhost:3000]\nThe key may be in HOLDFAST_KEY instead. Make one with npm run key, or on the page API keys.'
/** A body of events: few enough to be answered within a second. */
const BATCH_ITEMS = 2_000
/** Characters of a body; UTF-8 makes at most three bytes of one, and the server takes 8 MiB. */
const BATCH_LENGTH = 2_000_000
const MAX_SHOWN = 20

class Unreachable extends Error {}

let key: string | undefined

interface Options {
  files: string[]
  to: string
  /** The secret of an API key. */
  key: string | undefined
}

function readOptions(): Options {
  try {
    const { values, positionals } = parseArgs({
      options: { to: { type: 'string' }, key: { type: 'string' } },
      allowPositionals: true,
    })
    if (positionals.length === 0) throw new Error('Name at least one file.')
    const to = values.to ?? `http://localhost:${getEnvironment().port}`
    return { files: positionals, to: new URL(to).origin, key: values.key ?? getEnvironment().key }
  } catch (error) {
    throw new InputError(`${(error as Error).message}\n${USAGE}`)
  }
}

/** Waits for one body; each is told by the server and mostly a few seconds. */
const MAX_WAITS = 100

/**
 * Sends a body with the key. Waits as Retry-After says while the server is busy (429 or 503). Errors: Unreachable, with
 * advice, if nobody answers or the key is refused.
 */
async function send(url: string, method: string, type: string, body: string, waits = 0): Promise<Response> {
  const response = await fetchResponse(url, method, type, body)
  if ((response.status === 429 || response.status === 503) && waits < MAX_WAITS) {
    await response.text()
    await delay(1_000 * Number(response.headers.get('retry-after') ?? 5))
    return send(url, method, type, body, waits + 1)
  }
  if (response.status !== 401 && response.status !== 403) return response
  const { detail } = (await response.json()) as Problem
  if (key === undefined)
    throw new Unreachable(
      `${new URL(url).origin} requires an API key. Give its secret with --key, or in HOLDFAST_KEY. Make one with npm run key, or on the page API keys.`,
    )
  throw new Unreachable(
    response.status === 401
      ? `${new URL(url).origin} refuses this key. It may be mistyped, expired, revoked, from another programme, or one that has to sign. Make another with npm run key, or on the page API keys.`
      : `This key lacks the right. ${detail}`,
  )
}

/** How long a server that answered before may be away, as while it is started again, ms. Chosen, no source. */
const AWAY_MS = 10_000
const RETRY_MS = 500

/** Whether the server has answered since this began. */
let hasAnswered = false

/** The whole response. A body that was cut off is sent again: what was stored of it is already known then. */
async function fetchResponse(
  url: string,
  method: string,
  type: string,
  body: string,
  giveUpAt = performance.now() + AWAY_MS,
): Promise<Response> {
  try {
    const headers = { 'content-type': type, ...(key === undefined ? {} : { authorization: `Bearer ${key}` }) }
    const response = await fetch(url, { method, headers, body })
    const whole = new Response(await response.text(), response)
    hasAnswered = true
    return whole
  } catch (error) {
    if (hasAnswered && performance.now() < giveUpAt) {
      await delay(RETRY_MS)
      return fetchResponse(url, method, type, body, giveUpAt)
    }
    const { cause } = error as { cause?: Error }
    throw new Unreachable(
      `No response from ${url}: ${cause?.message ?? (error as Error).message}. Is the server running (npm start)? Use --to for another address.`,
    )
  }
}

/** Whether a file is a register rather than events. */
function isRegister(path: string): boolean {
  if (!path.endsWith('.json')) return false
  try {
    const value: unknown = JSON.parse(readTextFile(path))
    return (
      value !== null &&
      typeof value === 'object' &&
      ['kits', 'plants', 'laboratories', 'protocols'].some((key) => key in value)
    )
  } catch {
    return false
  }
}

/** Sends a register in one piece, since the server checks and replaces the whole. Blanks are left out. */
async function loadRegister(path: string, to: string): Promise<void> {
  const text = JSON.stringify(JSON.parse(readTextFile(path)))
  const response = await send(`${to}/api/register`, 'PUT', 'application/json', text)
  if (response.ok) {
    const { added, changed, removed, unchanged } = (await response.json()) as Record<string, number>
    console.log(
      `${path}: ${added} entries added, ${changed} changed, ${removed} removed, ${unchanged} unchanged`,
    )
    return
  }
  const problem = (await response.json()) as Problem
  const errors = (problem.errors ?? [])
    .slice(0, MAX_SHOWN)
    .map(({ pointer, detail }) => `\n  ${pointer}: ${detail}`)
  throw new Unreachable(`${path} was refused: ${problem.detail}${errors.join('')}`)
}

interface Totals {
  accepted: number
  alreadyKnown: number
  unplaced: number
  refused: number
}

function formatTotals({ accepted, alreadyKnown, unplaced, refused }: Totals): string {
  return `${accepted} accepted, ${alreadyKnown} already known, ${unplaced} unplaced, ${refused} refused`
}

async function loadEvents(path: string, to: string): Promise<number> {
  const { items, megabytes } = openFileItems(path)
  const total: Totals = { accepted: 0, alreadyKnown: 0, unplaced: 0, refused: 0 }
  const refusals: string[] = []
  const refuse = (item: RawItem, details: string) => {
    total.refused += 1
    if (refusals.length < MAX_SHOWN)
      refusals.push(`${item.line === null ? `item ${item.item}` : `line ${item.line}`}: ${details}`)
  }
  const bar = new ProgressBar(path, megabytes, ' MB')
  let batch: { item: RawItem; text: string }[] = []
  let length = 0
  const flush = async () => {
    if (batch.length > 0) await sendBatch(path, batch, to, total, refuse)
    bar.advance(length / 1e6)
    batch = []
    length = 0
  }
  try {
    for await (const item of items) {
      if (item.fault) {
        refuse(item, `${english.message(item.fault.detail)} ${english.message(item.fault.right)}`)
        continue
      }
      const text = JSON.stringify(item.value)
      batch.push({ item, text })
      length += text.length
      if (batch.length === BATCH_ITEMS || length > BATCH_LENGTH) await flush()
    }
    await flush()
  } catch (error) {
    bar.end()
    if (!(error instanceof Unreachable && hasAnswered)) throw error
    throw new Unreachable(
      `${error.message}\n${path}: until then ${formatTotals(total)}. Run the same command again: nothing is stored twice.`,
    )
  }
  bar.end()
  console.log(`${path}: ${formatTotals(total)}`)
  for (const refusal of refusals) console.error(`  refused ${refusal}`)
  if (total.refused > MAX_SHOWN) console.error(`  and ${total.refused - MAX_SHOWN} more`)
  return total.refused
}

async function sendBatch(
  path: string,
  batch: readonly { item: RawItem; text: string }[],
  to: string,
  total: Totals,
  refuse: (item: RawItem, details: string) => void,
): Promise<void> {
  const body = batch.map(({ text }) => text).join('\n')
  const response = await send(`${to}/api/events`, 'POST', 'application/x-ndjson', body)
  const answer = (await response.json()) as Answer & Problem
  if (!answer.items) throw new Unreachable(`${path}: the server refused a batch: ${answer.detail}`)
  answer.items.forEach((row, index) => {
    if (row.result === 'refused') refuse(batch[index]?.item as RawItem, describeRefusal(row))
  })
  total.accepted += answer.accepted
  total.alreadyKnown += answer.alreadyKnown
  total.unplaced += answer.unplaced
}

function describeRefusal({ problem }: Extract<AnswerRow, { result: 'refused' }>): string {
  const errors = problem?.errors ?? []
  return errors.map(({ pointer, detail, right }) => `${pointer} ${detail} ${right}`).join(' ')
}

try {
  const { files, to, key: given } = readOptions()
  key = given
  // A name that is mistyped is told before anything is sent.
  for (const path of files) findSize(path)
  let refused = 0
  for (const path of files) {
    if (isRegister(path)) await loadRegister(path, to)
    else refused += await loadEvents(path, to)
  }
  process.exitCode = refused > 0 ? 3 : 0
} catch (error) {
  if (!(error instanceof InputError || error instanceof Unreachable)) throw error
  console.error(error.message)
  process.exitCode = error instanceof InputError ? 2 : 1
}
