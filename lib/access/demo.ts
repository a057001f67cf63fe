import type { RoleName } from '@/lib/custody/personRoles'
import { sharedDoor, sharedPool } from '@/lib/store/sharedPool'
import * as people from './demoPeople'

/** The demo's people on the database of this process. */
export const isDemo = () => people.isDemoDatabase(sharedPool())

export const demoPerson = (role: RoleName) => people.demoPerson(sharedPool(), sharedDoor(), role, Date.now())
