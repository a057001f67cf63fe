import { cuts } from './cuts'
import { fullDisk } from './fullDisk'
import { hostileBodies } from './hostileBodies'
import { kills } from './kills'
import { noConnections } from './noConnections'
import { readOnly } from './readOnly'
import type { Torment } from './torment'

/** Every kind of torment, in the order in which `npm run torture` inflicts them. */
export const TORMENTS: readonly Torment[] = [kills, cuts, fullDisk, readOnly, noConnections, hostileBodies]
