import type { RegisterDocument } from '@/lib/custody/registerDocument'
import type { MessageKey } from '@/lib/messages/message'
import type { RegisterList } from '@/lib/store/ledger/registerEntries'

interface Step {
  list: RegisterList
  /** Shown while the list is empty. */
  none: Extract<MessageKey, `setup.${RegisterList}.none`>
  /** A programme can start without any. */
  isOptional?: boolean
}

/** The lists in the order in which to fill them: entries refer only to lists before their own. */
export const SETUP_ORDER = [
  { list: 'laboratories', none: 'setup.laboratories.none' },
  { list: 'plants', none: 'setup.plants.none' },
  { list: 'services', none: 'setup.services.none' },
  { list: 'protocols', none: 'setup.protocols.none' },
  { list: 'products', none: 'setup.products.none' },
  { list: 'pickups', none: 'setup.pickups.none', isOptional: true },
  { list: 'families', none: 'setup.families.none', isOptional: true },
  { list: 'certificates', none: 'setup.certificates.none', isOptional: true },
  { list: 'duties', none: 'setup.duties.none', isOptional: true },
  { list: 'shutdowns', none: 'setup.shutdowns.none', isOptional: true },
  { list: 'kits', none: 'setup.kits.none' },
] as const satisfies readonly Step[]

/** The first step still to be done; undefined if there is none. */
export function findFirstMissing(register: RegisterDocument) {
  return SETUP_ORDER.find((step) => !('isOptional' in step) && register[step.list].length === 0)
}
