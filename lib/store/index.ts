/**
 * What the pages and routes may ask of the database, each on the one pool of this process. Everything else in this
 * folder is the store's own.
 */
import type { ReadEvent } from '@/lib/custody/event'
import type { DutyContent } from '@/lib/custody/owedContents'
import type { Register } from '@/lib/custody/register'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import * as acceptance from './acceptEvents'
import { applyRegister as apply } from './applyRegister'
import * as expected from './arrivals'
import type { Actor } from './audit'
import * as audit from './auditEntries'
import * as backtests from './backtestPage'
import * as boards from './board'
import * as hand from './byHand'
import * as changes from './changeRegister'
import * as due from './dueWork'
import * as dutyDays from './dutyDates'
import type { Reporting } from './eventLedger'
import * as pooledFigures from './figures'
import * as duties from './hasDuties'
import * as lanes from './laneList'
import * as oneLane from './lanePage'
import * as offices from './office'
import * as histories from './plantHistory'
import * as plants from './plantPage'
import * as pooledLanes from './pooledTransit'
import * as coming from './receivingList'
import * as registers from './registerNow'
import * as samples from './sampleDossier'
import type { Scope } from './scope'
import * as drafts from './setupDraft'
import { sharedPool } from './sharedPool'
import * as ships from './shipWindows'
import * as asides from './snoozes'
import * as parts from './turnaround'
import * as unplaced from './unplacedEvents'

export type { Acceptance, Act } from './acceptEvents'
export type { Arrivals } from './arrivals'
export type { Actor } from './audit'
export { AUDIT_KEY, type AuditEntry, type AuditFilter } from './auditEntries'
export type { BacktestPage, BacktestScores } from './backtestPage'
export type { Board, BoardFilter, PlantHeading } from './board'
export type { ActEvent, KitChoices, SeenKit } from './byHand'
export type { ChangeEffect, ChangeOptions, ChangeResult, EditProblem, RegisterEdit } from './changeRegister'
export type { CorrectedUnplaced } from './correctedUnplaced'
export type { DueWork } from './dueWork'
export { type Reporting, UNRESTRICTED } from './eventLedger'
export type { Figures, SettledFigure } from './figures'
export type { LaneFilter, LaneLine, LaneList } from './laneList'
export type { LanePage } from './lanePage'
export type { Office } from './office'
export { followPages, type Page } from './pages'
export { HISTORY_KEY, type PlantHistory } from './plantHistory'
export type { PlantPage } from './plantPage'
export type { PooledTransit } from './pooledTransit'
export type { ReceivingList } from './receivingList'
export { type EntryContent, REGISTER_KINDS, REGISTER_LISTS, type RegisterList } from './registerEntries'
export type { SampleDossier } from './sampleDossier'
export type { SampleMove } from './sampleMoves'
export type { SampleRow } from './sampleRow'
export { includesPlant, type Scope } from './scope'
export type { ShipPage } from './shipWindows'
export type { SampleForecast } from './storedForecast'
export type { ToldEvidence, ToldForecast } from './toldForecast'
export type { PooledTurnaround, Turnaround } from './turnaround'
export { isUnavailable, isUnstorable } from './unavailable'
export type { LikelyKit, UnplacedEvent, UnplacedPage } from './unplacedEvents'

export const acceptEvents = <Item extends { event: ReadEvent | null }>(
  read: (register: Register) => Item[],
  reporting: Reporting,
  now: number,
  act?: acceptance.Act,
) => acceptance.acceptEvents(sharedPool(), read, reporting, now, act)

export const applyRegister = (document: RegisterDocument, now: number, actor: Actor) =>
  apply(sharedPool(), document, now, actor)

export const registerNow = () => registers.registerNow(sharedPool())

export const tryChange = (edits: readonly changes.RegisterEdit[], options: changes.ChangeOptions) =>
  changes.tryChange(sharedPool(), edits, options)

export const changeRegister = (
  edits: readonly changes.RegisterEdit[],
  options: changes.ChangeOptions & { confirmed?: string },
) => changes.changeRegister(sharedPool(), edits, options)

export const keepDraft = (actor: Actor, content: unknown, now: number) =>
  drafts.keepDraft(sharedPool(), actor, content, now)

export const draftOf = (actor: Actor, id: string) => drafts.draftOf(sharedPool(), actor, id)

export const dropDraft = (actor: Actor, id: string) => drafts.dropDraft(sharedPool(), actor, id)

export const board = (scope: Scope, filter: boards.BoardFilter, now: number) =>
  boards.board(sharedPool(), scope, filter, now)

export const plantPage = (scope: Scope, code: string, now: number) =>
  plants.plantPage(sharedPool(), scope, code, now)

export const plantHistory = (
  scope: Scope,
  code: string,
  olderThan: string | null,
  most: number,
  now: number,
) => histories.plantHistory(sharedPool(), scope, code, olderThan, most, now)

export const sampleDossier = (scope: Scope, code: string, now: number) =>
  samples.sampleDossier(sharedPool(), scope, code, now)

export const unplacedEvents = (scope: Scope, now: number) => unplaced.unplacedEvents(sharedPool(), scope, now)

export const auditEntries = (
  scope: Scope,
  filter: audit.AuditFilter,
  olderThan: string | null,
  most: number,
) => audit.auditEntries(sharedPool(), scope, filter, olderThan, most)

export const backtestPage = (isPooled: boolean, now: number) =>
  backtests.backtestPage(sharedPool(), isPooled, now)

export const figures = (now: number) => pooledFigures.figures(sharedPool(), now)

export const unplacedEvent = (scope: Scope, key: string, now: number) =>
  unplaced.unplacedEvent(sharedPool(), scope, key, now)

export const seenKits = (scope: Scope, codes: readonly string[], now: number) =>
  hand.seenKits(sharedPool(), scope, codes, now)

export const eventsOfAct = (scope: Scope, source: string, token: string, now: number) =>
  hand.eventsOfAct(sharedPool(), scope, source, token, now)

export const kitChoices = (plant: string, now: number) => hand.kitChoices(sharedPool(), plant, now)

export const receivingList = (scope: Scope, laboratories: readonly string[] | null, now: number) =>
  coming.receivingList(sharedPool(), scope, laboratories, now)

export const arrivals = (scope: Scope, laboratories: readonly string[] | null, now: number) =>
  expected.arrivals(sharedPool(), scope, laboratories, now)

export const laneList = (scope: Scope, filter: lanes.LaneFilter, now: number) =>
  lanes.laneList(sharedPool(), scope, filter, now)

export const lanePage = (scope: Scope, way: Parameters<typeof oneLane.lanePage>[2], now: number) =>
  oneLane.lanePage(sharedPool(), scope, way, now)

export const pooledTransit = (now: number) => pooledLanes.pooledTransit(sharedPool(), now)

export const turnaround = (scope: Scope, places: Parameters<typeof parts.turnaround>[2], now: number) =>
  parts.turnaround(sharedPool(), scope, places, now)

export const pooledTurnaround = (now: number) => parts.pooledTurnaround(sharedPool(), now)

export const plantShipWindows = (scope: Scope, plant: string, choice: string | null, now: number) =>
  ships.plantShipWindows(sharedPool(), scope, plant, choice, now)

export const kitShipWindows = (scope: Scope, code: string, now: number) =>
  ships.kitShipWindows(sharedPool(), scope, code, now)

export const dueWork = (scope: Scope, now: number, aheadDays?: number) =>
  due.dueWork(sharedPool(), scope, now, aheadDays)

export const hasDuties = (scope: Scope) => duties.hasDuties(sharedPool(), scope)

export const enterSnooze = (
  scope: Scope,
  overdue: Parameters<typeof asides.enterSnooze>[2],
  snooze: Parameters<typeof asides.enterSnooze>[3],
  actor: Actor,
  now: number,
) => asides.enterSnooze(sharedPool(), scope, overdue, snooze, actor, now)

export const dutyDates = (document: RegisterDocument, duty: DutyContent, now: number) =>
  dutyDays.dutyDates(sharedPool(), document, duty, now)
export const officeNow = () => offices.officeNow(sharedPool())

export const enterOffice = (office: offices.Office, actor: Actor, now: number) =>
  offices.enterOffice(sharedPool(), office, actor, now)
