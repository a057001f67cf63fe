import { expect, test } from 'vitest'
import { parseKeyFields, parseKeyRights } from '@/app/keys/keyFields'
import { EVENT_KINDS } from '@/lib/custody/event'
import { english } from '@/lib/messages/english'

const none = { plants: new Set<string>(), laboratories: new Set<string>() }
const getRights = (...kinds: string[]) => {
  const sent = new URLSearchParams({ name: 'dock', sources: 'dock', side: 'programme', reports: 'some' })
  for (const kind of kinds) sent.append('kinds', kind)
  return parseKeyRights(english, parseKeyFields(sent), none, 0)
}

test.each(EVENT_KINDS)('a key may be limited to “%s”', (kind) => {
  expect(getRights(kind)).toMatchObject({ rights: { kinds: [kind] }, faults: null })
})

test('a key may not be limited to an unknown kind of event', () => {
  for (const kind of ['arrived', 'Held', 'constructor'])
    expect(Object.keys(getRights('held', kind).faults ?? {})).toEqual(['reports'])
})
