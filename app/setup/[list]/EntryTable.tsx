import { useTranslate } from '#translate'
import { Link } from '@/app/ui/Link'
import table from '@/app/ui/Table.module.css'
import { formatLimit } from '@/app/ui/words/clock'
import { formatDateTime, formatDay } from '@/app/ui/words/instant'
import { formatKitCode } from '@/lib/custody/kitCode'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { formatIsoDate, toLocalDay } from '@/lib/hold/zone'
import type { MessageKey } from '@/lib/messages/message'
import type { Translate } from '@/lib/messages/translate'
import type { RegisterList } from '@/lib/store/ledger/registerEntries'
import { PURPOSE_LABELS } from '../purposeLabels'
import { formatWeekdays, formatWeekHours, USUAL_WEEK } from '../weekdays'

/** A search on the board finds the others. */
export const MAX_KITS_SHOWN = 200

type Heading = Extract<MessageKey, `setup.column.${string}`>

const COLUMN_HEADINGS: Record<RegisterList, readonly Heading[]> = {
  laboratories: [
    'setup.column.code',
    'setup.column.name',
    'setup.column.zone',
    'setup.column.receivingHours',
  ],
  plants: [
    'setup.column.code',
    'setup.column.name',
    'setup.column.maker',
    'setup.column.zone',
    'setup.column.workdays',
  ],
  services: ['setup.column.code', 'setup.column.name'],
  protocols: ['setup.column.code', 'setup.column.name', 'setup.column.limits'],
  products: ['setup.column.code', 'setup.column.name', 'setup.column.plant', 'setup.column.protocol'],
  pickups: ['setup.column.pickups', 'setup.column.plant', 'setup.column.service', 'setup.column.pickupHours'],
  families: ['setup.column.code', 'setup.column.name', 'setup.column.members', 'setup.column.tested'],
  certificates: [
    'setup.column.number',
    'setup.column.subject',
    'setup.column.issued',
    'setup.column.expires',
  ],
  duties: [
    'setup.column.code',
    'setup.column.subject',
    'setup.column.laboratory',
    'setup.column.firstReport',
    'setup.column.repeats',
  ],
  shutdowns: ['setup.column.shutdown', 'setup.column.plant', 'setup.column.days', 'setup.column.reason'],
  kits: [
    'setup.column.code',
    'setup.column.plant',
    'setup.column.product',
    'setup.column.laboratory',
    'setup.column.service',
    'setup.column.purpose',
    'setup.column.issued',
  ],
}

const CAPTIONS: Record<RegisterList, Extract<MessageKey, `setup.${RegisterList}.caption`>> = {
  laboratories: 'setup.laboratories.caption',
  plants: 'setup.plants.caption',
  services: 'setup.services.caption',
  protocols: 'setup.protocols.caption',
  products: 'setup.products.caption',
  pickups: 'setup.pickups.caption',
  families: 'setup.families.caption',
  certificates: 'setup.certificates.caption',
  duties: 'setup.duties.caption',
  shutdowns: 'setup.shutdowns.caption',
  kits: 'setup.kits.caption',
}

/** `now` in ms UTC. */
export function EntryTable({
  list,
  register,
  now,
}: {
  list: RegisterList
  register: RegisterDocument
  now: number
}) {
  const t = useTranslate()
  const headings = COLUMN_HEADINGS[list]
  return (
    <section className={table.scroll} aria-label={t(CAPTIONS[list])}>
      <table className={`${table.table} ${table.stack}`}>
        <thead>
          <tr>
            {headings.map((heading) => (
              <th key={heading} scope="col">
                {t(heading)}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {getRows(t, list, register, now).map(({ code, cells }) => (
            <tr key={code}>
              <th scope="row">
                <Link href={`/setup/${list}/${encodeURIComponent(code)}`}>
                  {list === 'kits' ? formatKitCode(code) : code}
                </Link>
              </th>
              {cells.map((cell, index) => {
                const heading = headings[index + 1] as Heading
                return (
                  <td key={heading} className={getCellClass(cell)} data-head={t(heading)}>
                    {Array.isArray(cell) ? cell.join('\n') : cell}
                  </td>
                )
              })}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}

/** Keeps a date on one line, and shows each line of a list. */
function getCellClass(cell: Cell): string | undefined {
  if (typeof cell !== 'string') return table.lines
  return /^\d{4}-\d{2}-\d{2}$/.test(cell) ? 'whole' : undefined
}

function findName(entries: readonly { code: string; name: string }[], code: string): string {
  return entries.find((one) => one.code === code)?.name ?? code
}

/** Text, or one text per line. */
type Cell = string | string[]

interface Row {
  code: string
  cells: Cell[]
}

function getRows(t: Translate, list: RegisterList, register: RegisterDocument, now: number): Row[] {
  const formatZoneCell = (zone: string) =>
    t('setup.cell.zone', { zone, time: formatDateTime(t, now, zone, now) })
  switch (list) {
    case 'laboratories':
      return register.laboratories.map(({ code, name, zone, receiving }) => ({
        code,
        cells: [name, formatZoneCell(zone), formatWeekHours(t, (day) => receiving[day]?.join(', '))],
      }))
    case 'plants':
      return register.plants.map(({ code, name, maker, zone, workdays }) => ({
        code,
        cells: [name, maker ?? '', formatZoneCell(zone), formatWeekdays(t, workdays ?? USUAL_WEEK)],
      }))
    case 'services':
      return register.services.map(({ code, name }) => ({ code, cells: [name] }))
    case 'protocols':
      return register.protocols.map(({ code, name, limits }) => ({
        code,
        cells: [name, limits.map((limit) => `${limit.name}: ${formatLimit(t, limit)}`)],
      }))
    case 'products':
      return register.products.map(({ code, name, plant, protocol }) => ({
        code,
        cells: [name, plant, protocol],
      }))
    case 'pickups':
      return register.pickups.map(({ code, plant, service, hours }) => ({
        code,
        cells: [
          findName(register.plants, plant),
          findName(register.services, service),
          formatWeekHours(t, (day) => hours[day]),
        ],
      }))
    case 'families':
    case 'certificates':
    case 'duties':
    case 'shutdowns':
      return getScheduleRows(t, list, register, now)
    case 'kits':
      return [...register.kits]
        .sort((a, b) => Date.parse(b.issuedAt) - Date.parse(a.issuedAt))
        .slice(0, MAX_KITS_SHOWN)
        .map(({ code, plant, product, laboratory, service, purpose, issuedAt }) => ({
          code,
          cells: [
            plant,
            product ?? t('setup.cell.spare'),
            laboratory,
            service ?? '',
            t(PURPOSE_LABELS[purpose ?? 'first']),
            formatDay(
              t,
              Date.parse(issuedAt),
              register.plants.find((one) => one.code === plant)?.zone ?? 'UTC',
              now,
            ),
          ],
        }))
  }
}

/** `now` in ms UTC. */
function getScheduleRows(
  t: Translate,
  list: 'families' | 'certificates' | 'duties' | 'shutdowns',
  register: RegisterDocument,
  now: number,
): Row[] {
  const formatSubject = ({ product, family }: { product?: string; family?: string }) =>
    family === undefined
      ? findName(register.products, product ?? '')
      : t('setup.cell.family', { name: findName(register.families, family) })
  /** A certificate is valid through its last day at the plant. */
  const isExpired = ({ product, family, expires }: RegisterDocument['certificates'][number]) => {
    const tested = product ?? register.families.find(({ code }) => code === family)?.tested
    const { plant } = register.products.find(({ code }) => code === tested) ?? {}
    const zone = register.plants.find(({ code }) => code === plant)?.zone ?? 'UTC'
    return expires < formatIsoDate(toLocalDay(now, zone))
  }
  switch (list) {
    case 'families':
      return register.families.map(({ code, name, members, tested }) => ({
        code,
        cells: [
          name,
          members.map((member) => findName(register.products, member)),
          findName(register.products, tested),
        ],
      }))
    case 'certificates':
      return [...register.certificates]
        .sort((a, b) => (a.expires < b.expires ? -1 : 1))
        .map((entry) => ({
          code: entry.code,
          cells: [
            formatSubject(entry),
            entry.issued,
            isExpired(entry) ? t('setup.cell.expired', { date: entry.expires }) : entry.expires,
          ],
        }))
    case 'duties':
      return register.duties.map((entry) => ({
        code: entry.code,
        cells: [
          formatSubject(entry),
          findName(register.laboratories, entry.laboratory),
          entry.first,
          entry.everyMonths === undefined
            ? t('setup.cell.once')
            : t('setup.cell.everyMonths', { count: entry.everyMonths }),
        ],
      }))
    case 'shutdowns':
      return register.shutdowns.map(({ code, plant, from, to, reason }) => ({
        code,
        cells: [
          findName(register.plants, plant),
          from === to ? from : t('setup.cell.dates', { from, to }),
          reason ?? '',
        ],
      }))
  }
}
