import type pg from 'pg'
import { z } from 'zod'
import type { Register } from '@/lib/custody/register'
import type { Limit } from '@/lib/hold/limit'
import { AT_PLANT, type Milestone } from '@/lib/hold/milestone'
import { toLocalDay } from '@/lib/hold/zone'
import { TRANSIT } from '@/lib/lane/model/lanes'
import { listGroupKeys } from '@/lib/lane/model/stage'
import type { TransitModel } from '@/lib/lane/model/transitModel'
import { adviseShipping, type ShipAdvice } from '@/lib/lane/ship/shipAdvice'
import { computeShipWindows, type ShipmentPlan, type ShipWindow } from '@/lib/lane/ship/shipWindow'
import { type Message, message } from '@/lib/messages/message'
import type { Scope } from '@/lib/policy/scope'
import { withReadTransaction } from '../../projection/readTransaction'
import { storedSample } from '../../projection/sampleRow'
import { getTransitModel } from '../../projection/transitModelCache'
import { statement } from '../../scope/statement'
import { listShipChoices, type ShipChoice } from './shipChoices'

interface NamedEntry {
  code: string
  name: string
}

/** How much is known of a service’s transit on this lane. */
export interface ShipBasis {
  service: string | null
  /** Shipments by this service from this plant to this laboratory that have arrived; with none, chances come from others’. */
  arrived: number
}

/** One service on one day: a window, or the reason for none. */
export type ShipCell = { window: ShipWindow } | { window: null; why: 'no pickup' | 'gone' }

/** When to hand over in the next two weeks, as known at `asOf` (ms UTC). Days are day numbers in the plant’s zone. */
export interface ShipPage {
  asOf: number
  plant: NamedEntry & { zone: string }
  laboratory: NamedEntry
  protocol: NamedEntry
  /** From this chance to miss on, a hand-over is not safe. */
  tight: number
  /** In the order of a day’s cells. */
  services: { code: string | null; name: string | null }[]
  days: { day: number; isLaboratoryOpen: boolean; cells: ShipCell[] }[]
  advice: ShipAdvice
  basis: ShipBasis[]
  /** The sample is cut, so its clock runs and only the hand-over is left to choose. */
  isCut: boolean
  /** The protocols and laboratories to choose from, the most used first; empty for a kit. */
  choices: (ShipChoice & { name: Message })[]
  /** The key of the choice shown; null for a kit. */
  choice: string | null
}

/**
 * The ship windows of a plant at `now` (ms UTC). `wanted` is the key of a `ShipChoice`; any other value means the most
 * used one. Null if `scope` sees no sample of the plant with a known protocol.
 */
export async function getPlantShipWindows(
  pool: pg.Pool,
  scope: Scope,
  plant: string,
  wanted: string | null,
  now: number,
): Promise<ShipPage | null> {
  const model = await getTransitModel(pool, now)
  return withReadTransaction(pool, scope, now, async ({ client, register }) => {
    const choices = await listShipChoices(client, register, plant, now)
    const choice = choices.find(({ key }) => key === wanted) ?? choices[0]
    if (!choice) return null
    const page = buildShipPage({ ...choice, plant }, model, register, now)
    return (
      page && {
        ...page,
        choice: choice.key,
        choices: choices.map((one) => ({ ...one, name: formatChoiceName(one, choices, register) })),
      }
    )
  })
}

const KIT = statement(
  storedSample
    .pick({ plant: true, laboratory: true, service: true, clocks: true, milestones: true })
    .extend({ protocol: z.string() }),
  `select plant, laboratory, service, clocks, milestones, protocol from sample
   where code = $1 and settled is null and protocol is not null and (stage is null or stage = any($2))`,
)

/**
 * The ship windows of a sample that is not yet handed over, at `now` (ms UTC), by its own limits and with its kit’s
 * service first. Null if it is handed over or settled, or if its protocol is not known. Whether it may be sent, its judgement says.
 */
export async function getKitShipWindows(
  pool: pg.Pool,
  scope: Scope,
  code: string,
  now: number,
): Promise<ShipPage | null> {
  const model = await getTransitModel(pool, now)
  return withReadTransaction(pool, scope, now, async ({ client, register }) => {
    const kit = await KIT.first(client, [code, AT_PLANT])
    if (!kit) return null
    const at = (milestone: Milestone) => kit.milestones.find((one) => one.milestone === milestone)?.at
    const limits = kit.clocks.map(({ limit }) => limit)
    const cutAt = at('collected') ?? at('sealed')
    const timing = { cutAt, producedAt: at('produced') }
    const services = kit.service === null ? [] : [kit.service]
    return buildShipPage({ ...kit, limits, services, ...timing }, model, register, now)
  })
}

interface ShipRequest {
  plant: string
  laboratory: string
  protocol: string
  limits: readonly Limit[]
  /** The services that kits name; services that were used follow. */
  services: readonly string[]
  cutAt?: number | undefined
  producedAt?: number | undefined
}

/** Null if the plant or the laboratory has left the register. */
export function buildShipPage(
  request: ShipRequest,
  model: TransitModel,
  register: Register,
  now: number,
): ShipPage | null {
  const { plant: from, laboratory: to, protocol } = request
  const [plant, laboratory] = [register.plants.get(from), register.laboratories.get(to)]
  if (!plant || !laboratory) return null
  const { tight } = register.getThresholds(protocol)
  const services = listServices(request, model)
  const { limits, cutAt, producedAt } = request
  const shipment: ShipmentPlan = { plant: from, laboratory: to, services, limits, cutAt, producedAt, tight }
  const found = computeShipWindows(shipment, model, now)
  const today = toLocalDay(now, plant.zone)
  const calendar = register.getCalendar(to)
  return {
    asOf: now,
    plant: { code: from, name: plant.name, zone: plant.zone },
    laboratory: { code: to, name: laboratory.name },
    protocol: { code: protocol, name: register.protocols.get(protocol)?.name ?? protocol },
    tight,
    services: services.map((code) => ({
      code,
      name: code === null ? null : (register.services.get(code)?.name ?? code),
    })),
    days: Array.from({ length: DAYS_AHEAD }, (_, index) => today + index).map((day) => ({
      day,
      isLaboratoryOpen: calendar.isOpen(day),
      cells: services.map((service) => buildCell(found.windows, day, service, today)),
    })),
    advice: adviseShipping(found, tight, today),
    basis: services.map((service) => getBasis({ plant: from, laboratory: to, service }, model)),
    isCut: cutAt !== undefined,
    choices: [],
    choice: null,
  }
}

const DAYS_AHEAD = 14

/** The services that kits name, then those that were used, the most used first; a single null if there are none. */
function listServices({ plant, laboratory, services }: ShipRequest, model: TransitModel): (string | null)[] {
  const used = model.listServices(plant, laboratory).flatMap(({ service }) => service ?? [])
  const all = [...new Set([...services, ...used])]
  return all.length > 0 ? all : [null]
}

function buildCell(
  windows: readonly ShipWindow[],
  day: number,
  service: string | null,
  today: number,
): ShipCell {
  const window = windows.find((one) => one.day === day && one.service === service)
  if (window) return { window }
  // A window on the same weekday next week shows that the service calls on this day: today it has already called.
  const calls = windows.some((one) => one.service === service && (one.day - day) % 7 === 0)
  return { window: null, why: day === today && calls ? 'gone' : 'no pickup' }
}

function getBasis(
  way: { plant: string; laboratory: string; service: string | null },
  model: TransitModel,
): ShipBasis {
  const levels = listGroupKeys(TRANSIT, way)
  const { level, unfadedConsignments } = model.getStage(TRANSIT).fit.evidence(levels)
  return { service: way.service, arrived: level === levels[0] ? Math.round(unfadedConsignments) : 0 }
}

/** The name of a choice: the protocol only if there are several. */
function formatChoiceName(choice: ShipChoice, choices: readonly ShipChoice[], register: Register): Message {
  const protocol = register.protocols.get(choice.protocol)?.name ?? choice.protocol
  const laboratory = register.laboratories.get(choice.laboratory)?.name ?? choice.laboratory
  const isOneProtocol = choices.every((one) => one.protocol === choice.protocol)
  return isOneProtocol
    ? message('shipChoice.laboratory', { laboratory })
    : message('shipChoice.protocol', { protocol, laboratory })
}
