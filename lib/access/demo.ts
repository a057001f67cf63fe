import { sharedDoor, sharedPool } from '@/lib/store/sharedPool'
import * as people from './demoPeople'

export { DEMO_PARTS, type DemoPart } from './demoPeople'

/** The demo's people on the database of this process. */
export const isDemo = () => people.isDemoDatabase(sharedPool())

export const demoPerson = (part: people.DemoPart) =>
  people.demoPerson(sharedPool(), sharedDoor(), part, Date.now())
