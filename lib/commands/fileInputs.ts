import { parseArgs } from 'node:util'
import { withoutRepetitions } from '@/lib/custody/assess'
import { keyOf, type ReadEvent } from '@/lib/custody/event'
import { parseRegister } from '@/lib/custody/parseRegister'
import { isFault, readAt } from '@/lib/custody/reading'
import { entriesOf, type Kit, kitOf, Register } from '@/lib/custody/register'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { formatOfFile } from '@/lib/intake/formats/body'
import { type IntakeItem, readEvents } from '@/lib/intake/formats/readEvents'
import { readText, Unusable } from './files'

/** What a command on files alone works on: a register, the events of a file, and a time. */
export interface FileInputs {
  register: Register
  kits: ReadonlyMap<string, Kit>
  events: ReadEvent[]
  /** ms UTC. */
  now: number
  /** Whether JSON lines are asked for rather than CSV. */
  json: boolean
  hasRefused: boolean
}

/**
 * Reads the options `--register`, `--events`, `--now` and `--json` and the files that they name. Refused lines are
 * named on standard error. Null where events are in conflict, which is said there too. Errors: Unusable.
 */
export function readInputs(usage: string): FileInputs | null {
  const { register: registerPath, events: eventsPath, now, json } = options(usage)
  const document = readRegister(registerPath)
  const register = new Register(entriesOf(document, Number.NEGATIVE_INFINITY))
  const items = readItems(eventsPath, (code) => register.zoneOfPlace(code))
  for (const item of items) sayRefused(item)
  const { events, conflicts } = withoutRepetitions(items.flatMap(({ event }) => event ?? []))
  for (const { key, events: pair } of conflicts)
    console.error(
      `conflict: ${key} was reported twice with different content:\n  ${pair.map((event) => JSON.stringify(event)).join('\n  ')}`,
    )
  if (conflicts.length > 0) {
    console.error(
      `No table: ${conflicts.map(({ events: pair }) => pair.map(keyOf).join(' and ')).join('; ')} cannot both stand.`,
    )
    return null
  }
  const kits = new Map(document.kits.map((content) => [content.code, kitOf(content)]))
  return { register, kits, events, now, json, hasRefused: items.some(({ problem }) => problem) }
}

function options(usage: string) {
  try {
    const { values } = parseArgs({
      options: {
        register: { type: 'string' },
        events: { type: 'string' },
        now: { type: 'string' },
        json: { type: 'boolean', default: false },
      },
    })
    if (!values.register || !values.events || !values.now)
      throw new Error('--register, --events and --now are needed.')
    const now = readAt(values.now, null, null)
    if (isFault(now)) throw new Error(`--now: ${now.detail} ${now.right}`)
    return { register: values.register, events: values.events, now: now.earliestAt, json: values.json }
  } catch (error) {
    throw new Unusable(`${(error as Error).message}\n${usage}`)
  }
}

function readRegister(path: string): RegisterDocument {
  let input: unknown
  try {
    input = JSON.parse(readText(path))
  } catch (error) {
    throw error instanceof Unusable ? error : new Unusable(`${path} is not JSON: ${(error as Error).message}`)
  }
  const { document, problems } = parseRegister(input)
  if (document) return document
  throw new Unusable(
    [
      `${path} is not a register that can be used:`,
      ...problems.map(({ pointer, detail }) => `  ${pointer || '/'}: ${detail}`),
    ].join('\n'),
  )
}

function readItems(path: string, zoneOfPlace: (code: string | null) => string | null): IntakeItem[] {
  try {
    return readEvents(readText(path), formatOfFile(path), zoneOfPlace)
  } catch (error) {
    throw error instanceof SyntaxError ? new Unusable(`${path}: ${error.message}`) : error
  }
}

function sayRefused({ item, line, problem }: IntakeItem): void {
  const where = line === null ? `item ${item}` : `line ${line}`
  for (const { pointer, detail, right } of problem?.errors ?? [])
    console.error(`refused ${where} ${pointer}: ${detail} ${right}`.replace(' :', ':'))
}
