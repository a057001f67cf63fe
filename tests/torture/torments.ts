import { clockJumps } from './clockJumps'
import { cuts } from './cuts'
import { firstStarts } from './firstStarts'
import { fullDisk } from './fullDisk'
import { hostileBodies } from './hostileBodies'
import { interruptedMigrations } from './interruptedMigrations'
import { kills } from './kills'
import { mailFaults } from './mailFaults'
import { manyServers } from './manyServers'
import { noConnections } from './noConnections'
import { readOnly } from './readOnly'
import { secondStarts } from './secondStarts'
import { slowClients } from './slowClients'
import type { Torment } from './torment'

/** Every kind of torment, in the order in which `npm run torture` inflicts them. */
export const TORMENTS: readonly Torment[] = [
  kills,
  cuts,
  fullDisk,
  readOnly,
  noConnections,
  slowClients,
  secondStarts,
  firstStarts,
  interruptedMigrations,
  manyServers,
  mailFaults,
  hostileBodies,
  clockJumps,
]
