import { setTimeout as delay } from 'node:timers/promises'
import { parseArgs } from 'node:util'
import type { Answer } from '@/lib/intake/answers/answer'
import { detectFileFormat, type RawItem, splitItems } from '@/lib/intake/formats/body'
import type { Problem } from '@/lib/intake/formats/problem'
import { english } from '@/lib/messages/english'
import { getEnvironment } from '@/lib/store/environment'
import { InputError, readTextFile } from './fileCommand'
import { ProgressBar } from './progressBar'

/**
 * Sends a register and files of events to a running server. Exit 0; 1 if the server does not answer or refuses the
 * register; 2 if a file or an option cannot be used; 3 if events were refused.
 */
const USAGE =
  'Usage: npm run load -- register.json events.ndjson|events.csv|events.json ... --key hfk_... [--to http://localhost:3000]\nThe key may be in HOLDFAST_KEY instead. Make one with npm run key, or on the page API keys.'
const BATCH_SIZE = 2_000
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

/**
 * Sends a body with the key, and retries after 429. Errors: Unreachable, with advice, if nobody answers or the key is
 * refused.
 */
async function send(url: string, method: string, type: string, body: string): Promise<Response> {
  const response = await fetchResponse(url, method, type, body)
  if (response.status === 429) {
    await delay(1_000 * Number(response.headers.get('retry-after') ?? 1))
    return send(url, method, type, body)
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

async function fetchResponse(url: string, method: string, type: string, body: string): Promise<Response> {
  try {
    const headers = { 'content-type': type, ...(key === undefined ? {} : { authorization: `Bearer ${key}` }) }
    return await fetch(url, { method, headers, body })
  } catch (error) {
    const { cause } = error as { cause?: Error }
    throw new Unreachable(
      `No response from ${url}: ${cause?.message ?? (error as Error).message}. Is the server running (npm start)? Use --to for another address.`,
    )
  }
}

/** Whether a text is a register rather than events. */
function isRegister(path: string, text: string): boolean {
  if (!path.endsWith('.json')) return false
  try {
    const value: unknown = JSON.parse(text)
    return (
      value !== null &&
      typeof value === 'object' &&
      ['kits', 'plants', 'laboratories', 'protocols'].some((key) => key in value)
    )
  } catch {
    return false
  }
}

async function loadRegister(path: string, text: string, to: string): Promise<void> {
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

async function loadEvents(path: string, text: string, to: string): Promise<number> {
  const format = detectFileFormat(path)
  let items: RawItem[]
  try {
    items = splitItems(text, format)
  } catch (error) {
    throw new InputError(`${path}: ${(error as Error).message}`)
  }
  const total = { accepted: 0, alreadyKnown: 0, unplaced: 0, refused: 0 }
  const refusals: string[] = []
  const refuse = (item: RawItem, details: string) => {
    total.refused += 1
    refusals.push(`${item.line === null ? `item ${item.item}` : `line ${item.line}`}: ${details}`)
  }
  const readable = items.filter((item) => {
    if (item.fault) refuse(item, `${english.message(item.fault.detail)} ${english.message(item.fault.right)}`)
    return !item.fault
  })
  const bar = new ProgressBar(path, readable.length)
  for (let start = 0; start < readable.length; start += BATCH_SIZE) {
    const batch = readable.slice(start, start + BATCH_SIZE)
    const body = batch.map(({ value }) => JSON.stringify(value)).join('\n')
    const response = await send(`${to}/api/events`, 'POST', 'application/x-ndjson', body)
    const answer = (await response.json()) as Answer & Problem
    if (!answer.items) throw new Unreachable(`${path}: the server refused a batch: ${answer.detail}`)
    answer.items.forEach((row, index) => {
      if (row.result === 'refused')
        refuse(
          batch[index] as RawItem,
          (row.problem?.errors ?? [])
            .map(({ pointer, detail, right }) => `${pointer} ${detail} ${right}`)
            .join(' '),
        )
    })
    total.accepted += answer.accepted
    total.alreadyKnown += answer.alreadyKnown
    total.unplaced += answer.unplaced
    bar.advance(batch.length)
  }
  bar.end()
  console.log(
    `${path}: ${total.accepted} accepted, ${total.alreadyKnown} already known, ${total.unplaced} unplaced, ${total.refused} refused`,
  )
  for (const refusal of refusals.slice(0, MAX_SHOWN)) console.error(`  refused ${refusal}`)
  if (refusals.length > MAX_SHOWN) console.error(`  and ${refusals.length - MAX_SHOWN} more`)
  return total.refused
}

try {
  const { files, to, key: given } = readOptions()
  key = given
  const texts = files.map((path) => ({ path, text: readTextFile(path) }))
  let refused = 0
  for (const { path, text } of texts) {
    if (isRegister(path, text)) await loadRegister(path, text, to)
    else refused += await loadEvents(path, text, to)
  }
  process.exitCode = refused > 0 ? 3 : 0
} catch (error) {
  if (!(error instanceof InputError || error instanceof Unreachable)) throw error
  console.error(error.message)
  process.exitCode = error instanceof InputError ? 2 : 1
}
