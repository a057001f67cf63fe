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
import * as plants from './plantPage'
import * as samples from './sampleDossier'
import { sharedPool } from './sharedPool'
import * as unplaced from './unplacedEvents'

export type { Acceptance } from './acceptEvents'
export type { Board, BoardFilter, PlantHeading } from './board'
export type { PlantPage } from './plantPage'
export type { SampleDossier } from './sampleDossier'
export type { SampleRow } from './sampleRow'
export type { LikelyKit, UnplacedEvent } from './unplacedEvents'

export const acceptEvents = <Item extends { event: ReadEvent | null }>(
  read: (register: Register) => Item[],
  now: number,
) => acceptance.acceptEvents(sharedPool(), read, now)

export const applyRegister = (document: RegisterDocument, now: number) => apply(sharedPool(), document, now)

export const board = (filter: boards.BoardFilter, now: number) => boards.board(sharedPool(), filter, now)

export const plantPage = (code: string, now: number) => plants.plantPage(sharedPool(), code, now)

export const sampleDossier = (code: string, now: number) => samples.sampleDossier(sharedPool(), code, now)

export const unplacedEvents = (now: number) => unplaced.unplacedEvents(sharedPool(), now)
