import { expect } from 'vitest'
import { checkCharacter } from '@/lib/custody/kitCode'
import type { BodyFormat } from '@/lib/intake/formats/body'
import { type IntakeItem, readEvents } from '@/lib/intake/formats/readEvents'

export const KIT = `AAAA222${checkCharacter('AAAA222')}`

/** A valid event on the wire; `more` overrides or adds keys. */
export const wire = (more: Record<string, unknown> = {}) => ({
  source: 'desk',
  id: 'e1',
  sample: KIT,
  kind: 'collected',
  at: '2026-10-20T10:00:00Z',
  ...more,
})

/** The register of these tests has one place: CORK in Lisbon. */
export const getZone = (code: string | null) => (code === 'CORK' ? 'Europe/Lisbon' : null)

export const readBody = (body: string, format: BodyFormat = 'json') => readEvents(body, format, getZone)

/** Reads a value as JSON would carry it. */
export function readEvent(value: unknown) {
  const [item] = readBody(JSON.stringify(value))
  if (!item?.event) throw new Error(JSON.stringify(item?.problem))
  return item.event
}

export function findFaults(value: unknown) {
  const [item] = readBody(JSON.stringify(value))
  return getFaults(item)
}

export function getFaults(item: IntakeItem | undefined) {
  if (!item?.problem) throw new Error('It was accepted')
  expect(item.problem).toMatchObject({
    type: 'urn:holdfast:problem:event-refused',
    status: 422,
    item: item.item,
  })
  const errors = item.problem.errors ?? []
  expect(item.problem.detail).toBe(errors[0]?.detail)
  for (const { detail, right } of errors) {
    expect(detail).toMatch(/\.$/)
    expect(right).toMatch(/\.$/)
  }
  return errors
}

export const findPointers = (value: unknown) => findFaults(value).map(({ pointer }) => pointer)
