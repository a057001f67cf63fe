import type { ActingRoles } from '@/lib/judgement/responsibility'

/** Someone without a role. */
export const NOBODY: ActingRoles = { isAdministrator: false, plants: [], laboratories: [] }
export const ADMINISTRATOR: ActingRoles = { ...NOBODY, isAdministrator: true }
