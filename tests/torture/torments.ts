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

/** Torments of a programme that serves. */
export const SERVING_TORMENTS: readonly Torment[] = [kills, manyServers, hostileBodies, clockJumps]

/** Torments of its connections, to the database and to clients. */
export const CONNECTION_TORMENTS: readonly Torment[] = [cuts, readOnly, noConnections, slowClients]

/** Torments of starts and upgrades, and those with a disk or a mail server of their own. */
export const STARTING_TORMENTS: readonly Torment[] = [
  fullDisk,
  secondStarts,
  firstStarts,
  interruptedMigrations,
  mailFaults,
]

/** Every kind of torment, in the order in which `npm run torture` inflicts them. */
export const TORMENTS = [...SERVING_TORMENTS, ...CONNECTION_TORMENTS, ...STARTING_TORMENTS]
