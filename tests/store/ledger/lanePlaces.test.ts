import { expect, test } from 'vitest'
import { getLanePlaces } from '@/lib/store/ledger/lanePlaces'
import { register } from '../../custody/desk'

const places = getLanePlaces(register)

test('places have zones, open days and receiving hours in minutes of the day', () => {
  expect(places.plantZone('CORK')).toBe('Europe/Lisbon')
  expect(places.calendar('NORTH').zone).toBe('America/New_York')
  const workday = [[8 * 60, 16 * 60 + 30]]
  expect(places.hours('NORTH')).toEqual([[], workday, workday, workday, workday, workday, []])
})

test('pickups are listed by weekday, and null if the register has none', () => {
  expect(places.pickups('CORK', 'air')).toEqual([null, 16 * 60 + 30, null, null, null, 14 * 60, null])
  expect(places.pickups('CORK', 'ground')).toBeNull()
  expect(places.pickups('CORK', null)).toBeNull()
})

test('an unknown place is an error', () => {
  expect(() => places.plantZone('NOWHERE')).toThrow('NOWHERE')
  expect(() => places.hours('NOWHERE')).toThrow('NOWHERE')
})
