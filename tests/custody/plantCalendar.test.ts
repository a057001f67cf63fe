import { expect, test } from 'vitest'
import { Register, type RegisterEntry, type RegisterRemoval } from '@/lib/custody/register'
import { parseIsoDate } from '@/lib/hold/zone'
import { ALWAYS, ms, register } from './desk'

const plant = (workdays?: ('mon' | 'tue' | 'wed' | 'thu' | 'fri' | 'sat')[], holdsFromAt = ALWAYS) =>
  ({
    kind: 'plant',
    holdsFromAt,
    content: { code: 'P', name: 'P', zone: 'Europe/Lisbon', workdays },
  }) satisfies RegisterEntry
const shutdown = (from: string, to: string, holdsFromAt = ALWAYS) =>
  ({
    kind: 'shutdown',
    holdsFromAt,
    content: { code: `P from ${from}`, plant: 'P', from, to },
  }) satisfies RegisterEntry
const works = (entries: (RegisterEntry | RegisterRemoval)[], ...dates: string[]) => {
  const calendar = new Register(entries).getWorkdays('P')
  return dates.map((date) => calendar.isOpen(parseIsoDate(date) as number))
}

test('a plant works from Monday to Friday by default', () => {
  // 2026-11-27 is a Friday.
  expect(works([plant()], '2026-11-27', '2026-11-28', '2026-11-29', '2026-11-30')).toEqual([
    true,
    false,
    false,
    true,
  ])
})

test('a plant works on its weekdays, but not during a shutdown', () => {
  const entries = [plant(['thu', 'sat']), shutdown('2026-12-24', '2026-12-27')]
  expect(works(entries, '2026-11-27', '2026-11-28', '2026-12-24', '2026-12-26', '2026-12-31')).toEqual([
    false,
    true,
    false,
    false,
    true,
  ])
})

test('days that were past when a shutdown was added or removed keep what held then', () => {
  const entered = ms('2026-11-18T12:00:00Z')
  const late = [plant(), shutdown('2026-11-16', '2026-11-20', entered)]
  expect(works(late, '2026-11-17', '2026-11-18', '2026-11-20')).toEqual([true, false, false])
  const gone = ms('2026-11-19T12:00:00Z')
  const removal = {
    kind: 'shutdown' as const,
    code: 'P from 2026-11-16',
    content: null,
    holdsFromAt: gone,
  }
  expect(works([...late, removal], '2026-11-17', '2026-11-18', '2026-11-19', '2026-11-20')).toEqual([
    true,
    false,
    true,
    true,
  ])
})

test('a new version shortens a shutdown from when it holds', () => {
  const shorter = shutdown('2026-12-01', '2026-12-02', ms('2026-11-25T00:00:00Z'))
  expect(works([plant(), shutdown('2026-12-01', '2026-12-04'), shorter], '2026-12-02', '2026-12-03')).toEqual(
    [false, true],
  )
})

test('an unknown plant has no workdays', () => {
  expect(() => register.getWorkdays('NOWHERE')).toThrow('NOWHERE')
})
