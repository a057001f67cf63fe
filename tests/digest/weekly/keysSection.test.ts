import { expect, test } from 'vitest'
import { renderContent } from '@/lib/digest/weekly/mailContent'
import { DAY } from '@/lib/hold/zone'
import { english } from '@/lib/messages/english'
import { findKeyWarnings } from '@/lib/policy/keyWarnings'
import type { ListedKey } from '@/lib/store/people/keys'
import { buildQuietDigest } from './quietDigest'

const AS_OF = Date.UTC(2026, 10, 25, 12)
const BACKUP = { lastGoodAt: AS_OF, file: '/b/one', bytes: 1, lastFault: null, scheduledSince: 0 }

const createKey = (name: string, source: string, more: Partial<ListedKey> = {}): ListedKey => ({
  id: name,
  name,
  sources: [source],
  sides: ['plant'],
  kinds: null,
  plants: [name],
  laboratories: null,
  mayImportHistory: false,
  maySetRegister: false,
  mustSign: false,
  expiresAt: null,
  lastUsedAt: null,
  revokedAt: null,
  narrowedAt: null,
  createdAt: 0,
  createdBy: 'command',
  ...more,
})

/** The section about keys in an administrator's mail, or in a contact's. */
function render(keys: ListedKey[], isAdministrator = true) {
  const report = {
    inactive: [],
    badAddresses: [],
    backup: BACKUP,
    keyWarnings: findKeyWarnings(keys, AS_OF),
  }
  const digest = buildQuietDigest(AS_OF, true, isAdministrator ? report : null)
  if (!digest) throw new Error('There is no mail.')
  const { sections } = renderContent(english, digest, 'https://holdfast.example', 'https://x.example/stop')
  return sections.find(({ heading }) => heading === 'API keys to look at')
}

test('an administrator learns which keys share a source, speak for two sides or lost kinds lately', () => {
  const keys = [
    createKey('press', 'mes'),
    createKey('oven', 'mes', { narrowedAt: AS_OF - 1 }),
    createKey('script', 's', { sides: ['plant', 'laboratory'], laboratories: ['LAB'] }),
    createKey('dock', 'd', { narrowedAt: AS_OF - 21 * DAY }),
    createKey('long known', 'l', { narrowedAt: AS_OF - 28 * DAY }),
    createKey('revoked', 'r', { narrowedAt: AS_OF - 1, revokedAt: AS_OF - 1 }),
    createKey('sound', 'o'),
  ]
  const section = render(keys)
  expect(section?.note).toBe('press, oven, script and dock.')
  expect(section?.more?.url).toBe('https://holdfast.example/keys')
  expect(render(keys, false)).toBeUndefined()
})

test('a mail says nothing of keys if there is nothing to look at', () => {
  expect(render([createKey('sound', 'o')])).toBeUndefined()
})
