import { expect, test } from 'vitest'
import { Register } from '@/lib/custody/register'
import type { LedgerEvent } from '@/lib/store/ledger/eventLedger'
import { readLedgerEvent } from '@/lib/store/projection/placeLedgerEvents'

test('says in words why an accepted event cannot be read any more', () => {
  const event = { source: 'desk', id: '1', at: '2026-11-10T12:00', zone: null, place: null } as LedgerEvent
  expect(() => readLedgerEvent(event, new Register([]))).toThrow(
    /^The accepted event desk\/1 cannot be read: “2026-11-10T12:00” /,
  )
})
