/**
 * What the pages and routes may ask of the database, each on the one pool of this process. Everything else in this
 * folder is the store's own.
 */
import type { ReadEvent } from '@/lib/custody/event'
import type { Register } from '@/lib/custody/register'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import * as acceptance from './acceptEvents'
import { applyRegister as apply } from './applyRegister'
import * as boards from './board'
import type { Reporting } from './eventLedger'
import * as plants from './plantPage'
import * as samples from './sampleDossier'
import type { Scope } from './scope'
import { sharedPool } from './sharedPool'
import * as unplaced from './unplacedEvents'

export type { Acceptance } from './acceptEvents'
export type { Board, BoardFilter, PlantHeading } from './board'
export { type Reporting, UNRESTRICTED } from './eventLedger'
export type { PlantPage } from './plantPage'
export type { SampleDossier } from './sampleDossier'
export type { SampleRow } from './sampleRow'
export type { Scope } from './scope'
export { isUnavailable } from './unavailable'
export type { LikelyKit, UnplacedEvent } from './unplacedEvents'

export const acceptEvents = <Item extends { event: ReadEvent | null }>(
  read: (register: Register) => Item[],
  reporting: Reporting,
  now: number,
) => acceptance.acceptEvents(sharedPool(), read, reporting, now)

export const applyRegister = (document: RegisterDocument, now: number) => apply(sharedPool(), document, now)

export const board = (scope: Scope, filter: boards.BoardFilter, now: number) =>
  boards.board(sharedPool(), scope, filter, now)

export const plantPage = (scope: Scope, code: string, now: number) =>
  plants.plantPage(sharedPool(), scope, code, now)

export const sampleDossier = (scope: Scope, code: string, now: number) =>
  samples.sampleDossier(sharedPool(), scope, code, now)

export const unplacedEvents = (scope: Scope, now: number) => unplaced.unplacedEvents(sharedPool(), scope, now)
