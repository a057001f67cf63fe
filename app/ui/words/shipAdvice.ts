import { DAY, getMinuteOfDay, MINUTE, toLocalDay } from '@/lib/hold/zone'
import type { Translate } from '@/lib/messages/translate'
import type { ShipPage } from '@/lib/store/read/ship/shipWindows'
import { formatPerHundred } from './chance'
import { formatDateTime, formatEnd } from './instant'

type Advice = ShipPage['advice']
type Window = NonNullable<Advice['best']>

/** What a text about shipping needs. Instants in ms UTC; all days and times are the plant's. */
export interface ShipTextContext {
  advice: Advice
  /** The plant's IANA zone. */
  zone: string
  now: number
  isCut: boolean
  serviceName: (code: string | null) => string | null
}

/** "today", "tomorrow", "Monday" within the week, else "Monday 7 December". `day` is a local day's number. */
export function formatNearDay(t: Translate, day: number, zone: string, now: number): string {
  const ahead = day - toLocalDay(now, zone)
  if (ahead === 0) return t('ship.day.today')
  if (ahead === 1) return t('ship.day.tomorrow')
  return t.date(day * DAY, 'UTC', ahead < 7 ? 'longWeekday' : 'longWeekdayDay')
}

const [NOON, EVENING] = [12 * 60, 17 * 60]

/** When to cut: "now", "this afternoon", "Monday morning", "on the morning of Monday 7 December". */
export function formatCutTime(t: Translate, cutAt: number, zone: string, now: number): string {
  if (cutAt - now < MINUTE) return t('ship.cutTime.now')
  const minute = getMinuteOfDay(cutAt, zone)
  const part = minute < NOON ? 'morning' : minute < EVENING ? 'afternoon' : 'evening'
  const cutDay = toLocalDay(cutAt, zone)
  const ahead = cutDay - toLocalDay(now, zone)
  if (ahead === 0) return t('ship.cutTime.today', { part })
  const day = formatNearDay(t, cutDay, zone, now)
  return ahead < 7 ? t('ship.cutTime.near', { day, part }) : t('ship.cutTime.far', { day, part })
}

/** "16:30", for where the place stands beside it. */
export const formatClockTime = (t: Translate, at: number, zone: string) => t.date(at, zone, 'time')

/** When to cut and hand over, in one or two sentences. */
export function formatShipAdvice(t: Translate, context: ShipTextContext): string {
  const { advice, zone, now, isCut } = context
  const { best, next } = advice
  if (!next) return t('ship.advice.noPickup')
  if (!best)
    return t('ship.advice.noData', {
      time: formatClockTime(t, next.handOverAt, zone),
      day: formatNearDay(t, next.day, zone, now),
    })
  if (isCut) return formatHandOver(t, best, context)
  return `${formatCut(t, best, context)} ${formatHandItOver(t, best, context)}`
}

function formatCut(t: Translate, best: Window, { advice, zone, now }: ShipTextContext): string {
  const when = formatCutTime(t, best.cutAt, zone, now)
  if (!advice.isBestSafe) return t('ship.advice.cutUnsafe', { when })
  const avoided = findAvoidedDay(t, { advice, zone, now })
  return avoided === null ? t('ship.advice.cut', { when }) : t('ship.advice.cutNotDay', { when, avoided })
}

function formatHandItOver(t: Translate, best: Window, context: ShipTextContext): string {
  const pickup = describePickup(t, best, context)
  const avoided = findAvoidedService(context)
  return avoided === null
    ? t('ship.advice.handItOver', pickup)
    : t('ship.advice.handItOverNotWith', { ...pickup, avoided })
}

/** By when to hand over a sample that is already cut. */
function formatHandOver(t: Translate, best: Window, context: ShipTextContext): string {
  const { lastSafe, isSafeThroughout, isBestSafe } = context.advice
  if (isSafeThroughout) return t('ship.advice.handOverAnyLater', describePickup(t, best, context))
  if (!isBestSafe || !lastSafe) return t('ship.advice.handOverUnsafe', describePickup(t, best, context))
  return t('ship.advice.handOver', describePickup(t, lastSafe, context))
}

/** The values of a message that names a pickup; `carrier` says whether its service has a name. */
function describePickup(t: Translate, window: Window, context: ShipTextContext) {
  const { zone, now, isCut } = context
  const day = toLocalDay(window.handOverAt, zone)
  // The sentence before has just named this day as the day of the cut.
  const isNamed = !isCut && day === toLocalDay(window.cutAt, zone) && day > toLocalDay(now, zone) + 1
  return {
    time: formatClockTime(t, window.handOverAt, zone),
    day: isNamed ? t('ship.day.same') : formatNearDay(t, day, zone, now),
    ...describeCarrier(window.service, context),
  }
}

function describeCarrier(service: string | null, { serviceName }: Pick<ShipTextContext, 'serviceName'>) {
  const name = serviceName(service)
  return name === null
    ? { carrier: 'unnamed' as const, service: '' }
    : { carrier: 'named' as const, service: name }
}

function findAvoidedDay(
  t: Translate,
  { advice: { avoid }, zone, now }: Pick<ShipTextContext, 'advice' | 'zone' | 'now'>,
): string | null {
  return avoid?.what === 'day' ? formatNearDay(t, avoid.window.day, zone, now) : null
}

function findAvoidedService({ advice: { avoid }, serviceName }: ShipTextContext): string | null {
  return avoid?.what === 'service' ? serviceName(avoid.window.service) : null
}

/** The numbers behind the advice, a sentence each. */
export function formatShipReasons(t: Translate, context: ShipTextContext): string[] {
  const { advice, zone, now, isCut } = context
  const { best, avoid, sooner, lastSafe, isSafeThroughout } = advice
  if (!best || best.chance === null) return []
  const describe = (window: Window) => ({
    when: formatDateTime(t, window.handOverAt, zone, now),
    chance: formatPerHundred(t, window.chance ?? 0),
    ...describeCarrier(window.service, context),
  })
  const interval = getInterval(best)
  const reasons = [
    interval
      ? t('ship.reason.bestInterval', { ...describe(best), ...interval })
      : t('ship.reason.best', describe(best)),
  ]
  if (avoid && avoid.window.chance !== null) reasons.push(t('ship.reason.avoid', describe(avoid.window)))
  if (sooner && !isCut) reasons.push(t('ship.reason.sooner', describe(sooner)))
  if (isSafeThroughout) reasons.push(t('ship.reason.safeThroughout'))
  else if (lastSafe) {
    const { chance: _, ...pickup } = describe(lastSafe)
    reasons.push(t('ship.reason.lastSafe', pickup))
  }
  return reasons
}

/** The 90 % interval in whole hundredths, outwards; null where it is narrower than two. */
function getInterval({ binding }: Window): { low: number; high: number } | null {
  if (!binding || binding.low === null || binding.high === null) return null
  const [low, high] = [Math.floor(binding.low * 100), Math.ceil(binding.high * 100)]
  return high - low < 2 ? null : { low, high }
}

/** What happens to a sample cut for `window` that goes with the pickup after it. */
export function formatMissedPickup(
  t: Translate,
  window: Window,
  context: Pick<ShipTextContext, 'zone' | 'now' | 'serviceName'>,
): string {
  const { zone, now } = context
  const { missed } = window
  const subject = {
    cut: formatNearDay(t, toLocalDay(missed.cutAt, zone), zone, now),
    picked: formatNearDay(t, toLocalDay(missed.handOverAt, zone), zone, now),
    ...describeCarrier(window.service, context),
  }
  if (missed.chance === null || !missed.binding) return t('ship.missed.noData', subject)
  const { limit, dueAt } = missed.binding
  if (dueAt < missed.handOverAt)
    return t('ship.missed.tooLate', { ...subject, limit, end: formatEnd(t, dueAt, zone, now) })
  const chance = formatPerHundred(t, missed.chance)
  if (window.chance === null) return t('ship.missed.chance', { ...subject, chance })
  const before = formatPerHundred(t, window.chance)
  return chance === before
    ? t('ship.missed.same', { ...subject, chance })
    : t('ship.missed.change', { ...subject, chance, before })
}

/** The windows whose missed pickup is worth a line: those of the first day that has any, and the best. */
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

/** What the chances rest on, in one or two sentences. */
export function formatChanceBasis(
  t: Translate,
  { basis }: Pick<ShipPage, 'basis'>,
  serviceName: ShipTextContext['serviceName'],
): string {
  const own = basis.filter(({ arrived }) => arrived > 0)
  const none = basis.filter(({ arrived }) => arrived === 0)
  const shipments = own.map(({ service, arrived }) =>
    t('ship.basis.shipments', { count: arrived, ...describeCarrier(service, { serviceName }) }),
  )
  const services = none.flatMap(({ service }) => serviceName(service) ?? [])
  return [
    ...(own.length > 0 ? [t('ship.basis.own', { shipments: t.list(shipments) })] : []),
    ...(none.length === 0
      ? []
      : services.length > 0
        ? [t('ship.basis.noneWith', { services: t.choice(services) })]
        : [t('ship.basis.none')]),
  ].join(' ')
}

/** The advice as one line of the board, "cut Monday morning, not Friday"; empty where there is none. */
export function formatShipLine(t: Translate, context: ShipTextContext): string {
  const { best, isBestSafe } = context.advice
  if (!best || !isBestSafe) return ''
  const when = formatCutTime(t, best.cutAt, context.zone, context.now)
  const day = findAvoidedDay(t, context)
  if (day !== null) return t('ship.line.cutNotDay', { when, avoided: day })
  const service = findAvoidedService(context)
  return service === null
    ? t('ship.line.cut', { when })
    : t('ship.line.cutNotWith', { when, avoided: service })
}
