import { cuts } from './cuts'
import { hostileBodies } from './hostileBodies'
import { kills } from './kills'
import type { Torment } from './torment'

/** Every kind of torment, in the order in which `npm run torture` inflicts them. */
export const TORMENTS: readonly Torment[] = [kills, cuts, hostileBodies]
