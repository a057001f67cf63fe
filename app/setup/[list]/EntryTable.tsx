import { useTranslate } from '#translate'
import { Link } from '@/app/ui/Link'
import table from '@/app/ui/Table.module.css'
import { formatLimit } from '@/app/ui/words/clock'
import { formatDateTime, formatDay } from '@/app/ui/words/instant'
import { formatKitCode } from '@/lib/custody/kitCode'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { formatIsoDate, toLocalDay } from '@/lib/hold/zone'
import type { Translate } from '@/lib/messages/translate'
import type { RegisterList } from '@/lib/store/ledger/registerEntries'
import { formatWeekdays, formatWeekHours } from '../weekdays'

/** The most kits that the list shows; a search on the board finds the others. */
export const MAX_KITS_SHOWN = 200

const COLUMN_HEADINGS: Record<RegisterList, readonly string[]> = {
  laboratories: ['Code', 'Name', 'Zone', 'Open'],
  plants: ['Code', 'Name', 'Maker', 'Zone', 'Workdays'],
  services: ['Code', 'Name'],
  protocols: ['Code', 'Name', 'Limits'],
  products: ['Code', 'Name', 'Plant', 'Protocol'],
  pickups: ['Pickups', 'Plant', 'Service', 'Hours, on the clock of the plant'],
  families: ['Code', 'Name', 'Members', 'Tested for all'],
  certificates: ['Number', 'Of', 'Issued', 'Expires'],
  duties: ['Code', 'Of', 'Laboratory', 'First report due', 'Then'],
  shutdowns: ['Shutdown', 'Plant', 'Days', 'Reason'],
  kits: ['Code', 'Plant', 'Product', 'Laboratory', 'Service', 'Purpose', 'Issued'],
}

/** The entries of one list, each leading to its form. `now` in ms UTC. */
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
  return (
    <section className={table.scroll} aria-label={`The ${list} of the register`}>
      <table className={`${table.table} ${table.stack}`}>
        <thead>
          <tr>
            {COLUMN_HEADINGS[list].map((head) => (
              <th key={head} scope="col">
                {head}
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
              {cells.map((cell, index) => (
                <td
                  key={COLUMN_HEADINGS[list][index + 1]}
                  className={getCellClass(cell)}
                  data-head={COLUMN_HEADINGS[list][index + 1]?.toLowerCase()}
                >
                  {cell}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}

/** A date stays on one line, and what has several lines keeps them. */
function getCellClass(cell: string): string | undefined {
  if (/^\d{4}-\d{2}-\d{2}$/.test(cell)) return 'whole'
  return cell.includes('\n') ? table.lines : undefined
}

function findName(entries: readonly { code: string; name: string }[], code: string): string {
  return entries.find((one) => one.code === code)?.name ?? code
}

interface Row {
  code: string
  cells: string[]
}

function getRows(t: Translate, list: RegisterList, register: RegisterDocument, now: number): Row[] {
  const zoned = (zone: string) => `${zone}, where it is ${formatDateTime(t, now, zone, now)}`
  switch (list) {
    case 'laboratories':
      return register.laboratories.map(({ code, name, zone, receiving }) => ({
        code,
        cells: [name, zoned(zone), formatWeekHours(t, (day) => receiving[day]?.join(', '))],
      }))
    case 'plants':
      return register.plants.map(({ code, name, maker, zone, workdays }) => ({
        code,
        cells: [name, maker ?? '', zoned(zone), workdays ? formatWeekdays(t, workdays) : 'mon to fri'],
      }))
    case 'services':
      return register.services.map(({ code, name }) => ({ code, cells: [name] }))
    case 'protocols':
      return register.protocols.map(({ code, name, limits }) => ({
        code,
        cells: [name, limits.map((limit) => `${limit.name}: ${formatLimit(t, limit)}`).join('\n')],
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
            product ?? 'spare',
            laboratory,
            service ?? '',
            purpose ?? 'first',
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

/** The rows of families, certificates, duties and shutdowns as their tables show them, beside the code. `now` in ms UTC. */
function getScheduleRows(
  t: Translate,
  list: 'families' | 'certificates' | 'duties' | 'shutdowns',
  register: RegisterDocument,
  now: number,
): Row[] {
  const formatSubject = ({ product, family }: { product?: string; family?: string }) =>
    family === undefined
      ? findName(register.products, product ?? '')
      : `the family ${findName(register.families, family)}`
  /** Whether the day on which a certificate expires is over at the plant. */
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
          members.map((member) => findName(register.products, member)).join('; '),
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
            isExpired(entry) ? `${entry.expires}, expired` : entry.expires,
          ],
        }))
    case 'duties':
      return register.duties.map((entry) => ({
        code: entry.code,
        cells: [
          formatSubject(entry),
          findName(register.laboratories, entry.laboratory),
          entry.first,
          entry.everyMonths === undefined ? 'never again' : formatInterval(t, entry.everyMonths),
        ],
      }))
    case 'shutdowns':
      return register.shutdowns.map(({ code, plant, from, to, reason }) => ({
        code,
        cells: [findName(register.plants, plant), from === to ? from : `${from} to ${to}`, reason ?? ''],
      }))
  }
}

function formatInterval(t: Translate, months: number): string {
  return months === 1 ? 'every month' : `every ${months} months`
}
