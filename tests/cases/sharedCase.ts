import { readFileSync } from 'node:fs'
import { parseRegister } from '@/lib/custody/parseRegister'
import { listEntries, Register, toKit } from '@/lib/custody/register'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import type { BodyFormat } from '@/lib/intake/formats/body'
import { readEvents } from '@/lib/intake/formats/readEvents'

/** The time at which the shared cases are judged. */
export const CASE_NOW = Date.parse('2026-11-10T12:00:00Z')

export type CaseName = 'autumn' | 'edges' | 'rest'

/** A file of a shared case, as text. */
export function caseFile(name: CaseName, file: string): string {
  return readFileSync(new URL(`../reference/${name}/${file}`, import.meta.url), 'utf8')
}

export function caseRegister(name: CaseName): RegisterDocument {
  const { document } = parseRegister(JSON.parse(caseFile(name, 'register.json')))
  if (!document) throw new Error(`The register of the case ${name} is refused`)
  return document
}

/** A shared case, read: its register, its kits and its events as they stand in the file, repetitions included. */
export function sharedCase(name: CaseName, format: BodyFormat = 'ndjson') {
  const document = caseRegister(name)
  const register = new Register(listEntries(document, Number.NEGATIVE_INFINITY))
  const kits = new Map(document.kits.map((content) => [content.code, toKit(content)]))
  const items = readEvents(caseFile(name, `events.${format}`), format, (code) => register.getZone(code))
  const events = items.map(({ event, problem }) => {
    if (!event) throw new Error(`The case ${name} has a refused event: ${problem?.detail}`)
    return event
  })
  return { document, register, kits, events }
}
