import { TZDate } from '@date-fns/tz'
import { format } from 'date-fns'
import { DAY, MINUTE, toLocalDay } from '@/lib/hold/zone'
import type { Translate } from '@/lib/messages/translate'
import type { ShipPage } from '@/lib/store/read/ship/shipWindows'
import { formatDateTime, formatEnd } from './instant'
import { formatPercent } from './laneText'
import { formatList, spellCount } from './number'

type Advice = ShipPage['advice']
type Window = NonNullable<Advice['best']>
/** What the words of an advice are about. Instants in ms UTC; everything is said in the plant's zone. */
export interface ShipTextContext {
  advice: Advice
  zone: string
  now: number
  isCut: boolean
  serviceName: (code: string | null) => string | null
}

const formatInZone = (at: number, zone: string, pattern: string) => format(new TZDate(at, zone), pattern)

/** "today", "tomorrow", "Monday" within the week, else "Monday 7 December": a local day by its number. */
export function formatNearDay(t: Translate, day: number, zone: string, now: number): string {
  const ahead = day - toLocalDay(now, zone)
  if (ahead === 0) return 'today'
  if (ahead === 1) return 'tomorrow'
  return formatInZone(day * DAY, 'UTC', ahead < 7 ? 'EEEE' : 'EEEE d MMMM')
}

/** "Monday morning", "this afternoon", "now": when to cut. */
export function formatCutTime(t: Translate, cutAt: number, zone: string, now: number): string {
  if (cutAt - now < MINUTE) return 'now'
  const hour = Number(formatInZone(cutAt, zone, 'H'))
  const part = hour < 12 ? 'morning' : hour < 17 ? 'afternoon' : 'evening'
  const day = formatNearDay(t, toLocalDay(cutAt, zone), zone, now)
  return day === 'today' ? `this ${part}` : `${day} ${part}`
}

/** "16:30": where the place stands beside it. */
export const formatClockTime = (at: number, zone: string) => formatInZone(at, zone, 'HH:mm')

/** A chance as one of a hundred: "97", "over 99", "under 1". */
export function formatPerHundred(t: Translate, chance: number): string {
  return formatPercent(t, chance).replace(' %', '')
}

/** The one sentence: when to cut and hand over. */
export function formatShipAdvice(t: Translate, subject: ShipTextContext): string {
  const { advice, isCut } = subject
  const { best, isBestSafe, next } = advice
  if (!next) return 'No pickup is known in the next two weeks.'
  if (!best)
    return `Nothing tells the chance yet: there is no record. The next pickup is at ${formatClockTime(next.handOverAt, subject.zone)} ${formatNearDay(t, next.day, subject.zone, subject.now)}.`
  if (isCut) return formatHandOver(t, best, subject)
  const what = `${isBestSafe ? 'Cut' : 'No day is safe. The best: cut'} ${formatCutTime(t, best.cutAt, subject.zone, subject.now)}`
  return `${what}${formatAvoidedDay(t, subject)}. Hand it over ${formatPickup(t, best, subject)}${formatAvoidedService(t, subject)}.`
}

function formatHandOver(t: Translate, best: Window, subject: ShipTextContext): string {
  const { lastSafe, isSafeThroughout, isBestSafe } = subject.advice
  if (isSafeThroughout)
    return `Hand over ${formatPickup(t, best, subject)}; any later pickup of the next two weeks is safe too.`
  if (!isBestSafe || !lastSafe)
    return `No pickup is safe any more. The best left: hand over ${formatPickup(t, best, subject)}.`
  return `Hand over ${formatPickup(t, lastSafe, subject)}.`
}

/** "by 16:30 today, by road": until when something is to be handed over, and to whom. */
function formatPickup(
  t: Translate,
  window: Window,
  { zone, now, serviceName, isCut }: ShipTextContext,
): string {
  const day = toLocalDay(window.handOverAt, zone)
  const near = formatNearDay(t, day, zone, now)
  // The day was just named as that of the cut.
  const isNamed = !isCut && day === toLocalDay(window.cutAt, zone) && day > toLocalDay(now, zone) + 1
  const name = serviceName(window.service)
  return `by ${formatClockTime(window.handOverAt, zone)} ${isNamed ? 'that day' : near}${name === null ? '' : `, by ${lowercaseServiceName(name)}`}`
}

/** A service's name inside a sentence: "Road" is "road", "DX" stays. */
function lowercaseServiceName(name: string): string {
  return /^[A-Z][a-z]/.test(name) ? name.charAt(0).toLowerCase() + name.slice(1) : name
}

function formatAvoidedDay(t: Translate, { advice: { avoid }, zone, now }: ShipTextContext): string {
  return avoid?.what === 'day' ? `, not ${formatNearDay(t, avoid.window.day, zone, now)}` : ''
}

function formatAvoidedService(t: Translate, { advice: { avoid }, serviceName }: ShipTextContext): string {
  const name = avoid?.what === 'service' ? serviceName(avoid.window.service) : null
  return name === null ? '' : `, not by ${lowercaseServiceName(name)}`
}

/** What stands behind the sentence, in numbers, with dates; each its own sentence. */
export function formatShipReasons(t: Translate, subject: ShipTextContext): string[] {
  const { advice, zone, now, isCut, serviceName } = subject
  const { best, avoid, sooner, lastSafe, isSafeThroughout } = advice
  if (!best || best.chance === null) return []
  const on = (window: Window) => `${formatDateTime(t, window.handOverAt, zone, now)}`
  const by = (window: Window) => {
    const name = serviceName(window.service)
    return name === null ? '' : ` by ${lowercaseServiceName(name)}`
  }
  const all = [
    `Handed over ${on(best)}${by(best)}, ${formatPerHundred(t, best.chance)} of 100 are in time${formatChanceRange(t, best)}.`,
  ]
  if (avoid?.window.chance !== null && avoid)
    all.push(
      `Handed over ${on(avoid.window)}${by(avoid.window)}: ${formatPerHundred(t, avoid.window.chance ?? 0)} of 100.`,
    )
  if (sooner && !isCut)
    all.push(
      `Sooner is safe as well: ${on(sooner)}${by(sooner)}, ${formatPerHundred(t, sooner.chance ?? 0)} of 100.`,
    )
  if (isSafeThroughout) all.push('Every day with a pickup in the next two weeks has a safe one.')
  else if (lastSafe) all.push(`The last safe moment is ${on(lastSafe)}${by(lastSafe)}.`)
  return all
}

function formatChanceRange(t: Translate, { binding }: Window): string {
  if (!binding || binding.low === null || binding.high === null) return ''
  const [low, high] = [Math.floor(binding.low * 100), Math.ceil(binding.high * 100)]
  return high - low < 2 ? '' : ` (${low} to ${high}, as far as the record tells)`
}

/** What happens to what is cut for `window` but goes with the pickup after it. */
export function formatMissedPickup(
  t: Translate,
  window: Window,
  subject: Pick<ShipTextContext, 'zone' | 'now' | 'serviceName'>,
): string {
  const { zone, now, serviceName } = subject
  const { missed } = window
  const name = serviceName(window.service)
  const [cut, picked] = [toLocalDay(missed.cutAt, zone), toLocalDay(missed.handOverAt, zone)]
  const what = `Cut ${formatNearDay(t, cut, zone, now)} but picked up only ${formatNearDay(t, picked, zone, now)}${name === null ? '' : ` by ${lowercaseServiceName(name)}`}`
  if (missed.chance === null || !missed.binding) return `${what}: no record yet.`
  const { limit, dueAt } = missed.binding
  if (dueAt < missed.handOverAt)
    return `${what}: too late, the limit “${limit}” ends ${formatEnd(t, dueAt, zone, now)}, before the carrier comes.`
  const [left, before] = [
    formatPerHundred(t, missed.chance),
    window.chance === null ? null : formatPerHundred(t, window.chance),
  ]
  if (left === before) return `${what}: no difference, ${left} of 100.`
  return `${what}: ${left} of 100${before === null ? '' : ` instead of ${before}`}.`
}

/** The windows of which to say what a missed pickup does: those of the first day that has any, and the best's. */
export function findMissedWindows({
  days,
  advice,
  isCut,
}: Pick<ShipPage, 'days' | 'advice' | 'isCut'>): Window[] {
  if (isCut) return []
  const windows = days.flatMap(({ cells }) => cells.flatMap(({ window }) => window ?? []))
  const first = windows.filter(({ day }) => day === windows[0]?.day)
  const best = windows.find(
    (one) => advice.best && one.day === advice.best.day && one.service === advice.best.service,
  )
  return best && !first.includes(best) ? [...first, best] : first
}

/** What the chances rest on, in a sentence or two. */
export function formatChanceBasis(
  t: Translate,
  { basis }: Pick<ShipPage, 'basis'>,
  serviceName: ShipTextContext['serviceName'],
): string {
  const by = (service: string | null) => {
    const name = serviceName(service)
    return name === null ? '' : ` by ${lowercaseServiceName(name)}`
  }
  const own = basis.filter(({ arrived }) => arrived > 0)
  const none = basis.filter(({ arrived }) => arrived === 0)
  const rests = own.map(({ service, arrived }) => `${spellCount(t, arrived, 'shipment')}${by(service)}`)
  const told = own.length > 0 ? `The chances rest on ${formatList(t, rests)} from this plant. ` : ''
  const missing = formatList(
    t,
    none.map(({ service }) => by(service)),
  ).trim()
  if (none.length === 0) return told.trim()
  return `${told}No shipment from this plant${missing && ` ${missing}`} has arrived yet: the chance is then that of others, where they have a record.`
}

/** One line on a board: "cut Monday morning, not Friday"; empty where nothing can be advised. */
export function formatShipLine(t: Translate, subject: ShipTextContext): string {
  const { best, isBestSafe } = subject.advice
  if (!best || !isBestSafe) return ''
  return `cut ${formatCutTime(t, best.cutAt, subject.zone, subject.now)}${formatAvoidedDay(t, subject)}${formatAvoidedService(t, subject)}`
}
