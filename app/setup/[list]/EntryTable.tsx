import { limitWords } from '@/app/samples/[code]/clockWords'
import { Link } from '@/app/ui/Link'
import table from '@/app/ui/Table.module.css'
import { dateAndTime, dayWords } from '@/app/ui/words/instantWords'
import { displayCode } from '@/lib/custody/kitCode'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import type { RegisterList } from '@/lib/store/ledger/registerEntries'
import { weekdayWords, weekHours } from '../weekHours'
import { owedRows } from './owedRows'

/** The most kits that the list shows; a search on the board finds the others. */
export const MOST_KITS_SHOWN = 200

const HEADS: Record<RegisterList, readonly string[]> = {
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
  return (
    <section className={table.scroll} aria-label={`The ${list} of the register`}>
      <table className={`${table.table} ${table.stack}`}>
        <thead>
          <tr>
            {HEADS[list].map((head) => (
              <th key={head} scope="col">
                {head}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rowsOf(list, register, now).map(({ code, cells }) => (
            <tr key={code}>
              <th scope="row">
                <Link href={`/setup/${list}/${encodeURIComponent(code)}`}>
                  {list === 'kits' ? displayCode(code) : code}
                </Link>
              </th>
              {cells.map((cell, index) => (
                <td
                  key={HEADS[list][index + 1]}
                  className={kindOf(cell)}
                  data-head={HEADS[list][index + 1]?.toLowerCase()}
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
function kindOf(cell: string): string | undefined {
  if (/^\d{4}-\d{2}-\d{2}$/.test(cell)) return 'whole'
  return cell.includes('\n') ? table.lines : undefined
}

function nameIn(entries: readonly { code: string; name: string }[], code: string): string {
  return entries.find((one) => one.code === code)?.name ?? code
}

interface Row {
  code: string
  cells: string[]
}

function rowsOf(list: RegisterList, register: RegisterDocument, now: number): Row[] {
  const zoned = (zone: string) => `${zone}, where it is ${dateAndTime(now, zone, now)}`
  switch (list) {
    case 'laboratories':
      return register.laboratories.map(({ code, name, zone, receiving }) => ({
        code,
        cells: [name, zoned(zone), weekHours((day) => receiving[day]?.join(', '))],
      }))
    case 'plants':
      return register.plants.map(({ code, name, maker, zone, workdays }) => ({
        code,
        cells: [name, maker ?? '', zoned(zone), workdays ? weekdayWords(workdays) : 'mon to fri'],
      }))
    case 'services':
      return register.services.map(({ code, name }) => ({ code, cells: [name] }))
    case 'protocols':
      return register.protocols.map(({ code, name, limits }) => ({
        code,
        cells: [name, limits.map((limit) => `${limit.name}: ${limitWords(limit)}`).join('\n')],
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
          nameIn(register.plants, plant),
          nameIn(register.services, service),
          weekHours((day) => hours[day]),
        ],
      }))
    case 'families':
    case 'certificates':
    case 'duties':
    case 'shutdowns':
      return owedRows(list, register, now)
    case 'kits':
      return [...register.kits]
        .sort((a, b) => Date.parse(b.issuedAt) - Date.parse(a.issuedAt))
        .slice(0, MOST_KITS_SHOWN)
        .map(({ code, plant, product, laboratory, service, purpose, issuedAt }) => ({
          code,
          cells: [
            plant,
            product ?? 'spare',
            laboratory,
            service ?? '',
            purpose ?? 'first',
            dayWords(
              Date.parse(issuedAt),
              register.plants.find((one) => one.code === plant)?.zone ?? 'UTC',
              now,
            ),
          ],
        }))
  }
}
