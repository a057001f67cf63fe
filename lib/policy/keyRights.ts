import { type Message, message } from '@/lib/messages/message'
import { isHandSource } from './handSource'
import type { ApiKey } from './principal'

/** The rights of a new key. Times in ms UTC. */
export interface KeyRights extends Omit<ApiKey, 'kind' | 'id'> {
  /** The machine signs its requests and never sends the secret. */
  mustSign: boolean
  /** When the key stops working; null: never. */
  expiresAt: number | null
}

/** Why a key cannot be made, with the right at fault. */
export interface KeyFault {
  field: keyof KeyRights
  detail: Message
}

/** Why these rights cannot be granted, whatever other keys there are; null if they can. */
export function findRightsFault(rights: KeyRights): KeyFault | null {
  if (rights.name.trim() === '') return { field: 'name', detail: message('keys.fault.noName') }
  return findSourceNameFault(rights.sources) ?? findPlaceFault(rights) ?? findRegisterFault(rights)
}

function findSourceNameFault(sources: readonly string[]): KeyFault | null {
  if (sources.length === 0) return { field: 'sources', detail: message('keys.fault.noSource') }
  for (const source of sources) {
    if (source.includes('/') || source.trim() !== source || source === '')
      return { field: 'sources', detail: message('keys.fault.badSource', { source }) }
    if (isHandSource(source))
      return { field: 'sources', detail: message('keys.fault.handSource', { source }) }
  }
  return null
}

/** A new key speaks for one side, at places of that side only. */
function findPlaceFault({ sides, plants, laboratories }: KeyRights): KeyFault | null {
  const [side] = sides
  if (side === undefined) return { field: 'sides', detail: message('keys.fault.noSide') }
  if (sides.length > 1 || (plants?.length && laboratories?.length))
    return { field: 'sides', detail: message('keys.fault.twoSides') }
  if (side !== 'plant' && plants !== null) return { field: 'plants', detail: message('keys.fault.notPlants') }
  if (side !== 'laboratory' && laboratories !== null)
    return { field: 'laboratories', detail: message('keys.fault.notLaboratories') }
  if (side === 'plant' && !plants?.length) return { field: 'plants', detail: message('keys.fault.noPlant') }
  if (side === 'laboratory' && !laboratories?.length)
    return { field: 'laboratories', detail: message('keys.fault.noLaboratory') }
  return null
}

function findRegisterFault({ maySetRegister, sides }: KeyRights): KeyFault | null {
  if (!maySetRegister || sides.every((side) => side === 'programme')) return null
  return { field: 'maySetRegister', detail: message('keys.fault.limitedRegister') }
}
