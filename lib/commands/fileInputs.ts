import { parseArgs } from 'node:util'
import { deduplicateEvents } from '@/lib/custody/assess'
import { eventKey, type ReadEvent } from '@/lib/custody/event'
import { parseRegister } from '@/lib/custody/parseRegister'
import { isReadingFault, readTime } from '@/lib/custody/reading'
import { type Kit, listEntries, Register, toKit } from '@/lib/custody/register'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { detectFileFormat } from '@/lib/intake/formats/body'
import { type IntakeItem, readEvents } from '@/lib/intake/formats/readEvents'
import { english } from '@/lib/messages/english'
import { InputError, readTextFile } from './fileCommand'

/** The input of a command that works on files: a register, events and a time. */
export interface FileInputs {
  register: Register
  kits: ReadonlyMap<string, Kit>
  events: ReadEvent[]
  /** ms UTC. */
  now: number
  /** Whether the output is JSON lines instead of CSV. */
  json: boolean
  hasRefused: boolean
}

/**
 * Reads the options `--register`, `--events`, `--now` and `--json`, and their files. Prints refused lines to standard
 * error. Returns null if events conflict, which it prints, too. Errors: InputError.
 */
export function readInputs(usage: string): FileInputs | null {
  const { register: registerPath, events: eventsPath, now, json } = readOptions(usage)
  const document = readRegister(registerPath)
  const register = new Register(listEntries(document, Number.NEGATIVE_INFINITY))
  const items = readItems(eventsPath, (code) => register.getZone(code))
  for (const item of items) logRefused(item)
  const { events, conflicts } = deduplicateEvents(items.flatMap(({ event }) => event ?? []))
  for (const { key, events: pair } of conflicts)
    console.error(
      `conflict: ${key} was sent twice with different content:\n  ${pair.map((event) => JSON.stringify(event)).join('\n  ')}`,
    )
  if (conflicts.length > 0) {
    console.error(
      `No table, because of conflicting events: ${conflicts.map(({ events: pair }) => pair.map(eventKey).join(' and ')).join('; ')}.`,
    )
    return null
  }
  const kits = new Map(document.kits.map((content) => [content.code, toKit(content)]))
  return { register, kits, events, now, json, hasRefused: items.some(({ problem }) => problem) }
}

function readOptions(usage: string) {
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
      throw new Error('--register, --events and --now are required.')
    const now = readTime(values.now, null, null)
    if (isReadingFault(now))
      throw new Error(`--now: ${english.message(now.detail)} ${english.message(now.right)}`)
    return { register: values.register, events: values.events, now: now.earliestAt, json: values.json }
  } catch (error) {
    throw new InputError(`${(error as Error).message}\n${usage}`)
  }
}

function readRegister(path: string): RegisterDocument {
  let input: unknown
  try {
    input = JSON.parse(readTextFile(path))
  } catch (error) {
    throw error instanceof InputError
      ? error
      : new InputError(`${path} is not JSON: ${(error as Error).message}`)
  }
  const { document, problems } = parseRegister(input)
  if (document) return document
  throw new InputError(
    [
      `${path} is not a valid register:`,
      ...problems.map(({ pointer, detail }) => `  ${pointer || '/'}: ${english.message(detail)}`),
    ].join('\n'),
  )
}

function readItems(path: string, zoneOfPlace: (code: string | null) => string | null): IntakeItem[] {
  try {
    return readEvents(readTextFile(path), detectFileFormat(path), zoneOfPlace)
  } catch (error) {
    throw error instanceof SyntaxError ? new InputError(`${path}: ${error.message}`) : error
  }
}

function logRefused({ item, line, problem }: IntakeItem): void {
  const where = line === null ? `item ${item}` : `line ${line}`
  for (const { pointer, detail, right } of problem?.errors ?? [])
    console.error(`refused ${where} ${pointer}: ${detail} ${right}`.replace(' :', ':'))
}
