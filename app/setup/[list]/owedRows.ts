import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { dayText, localDay } from '@/lib/hold/zone'

interface Row {
  code: string
  cells: string[]
}

/** The rows of families, certificates, duties and shutdowns as their tables show them, beside the code. `now` in ms UTC. */
export function owedRows(
  list: 'families' | 'certificates' | 'duties' | 'shutdowns',
  register: RegisterDocument,
  now: number,
): Row[] {
  const nameIn = (entries: readonly { code: string; name: string }[], code: string) =>
    entries.find((one) => one.code === code)?.name ?? code
  const ofWhat = ({ product, family }: { product?: string; family?: string }) =>
    family === undefined
      ? nameIn(register.products, product ?? '')
      : `the family ${nameIn(register.families, family)}`
  /** Whether the day on which a certificate expires is over at the plant. */
  const isPast = ({ product, family, expires }: RegisterDocument['certificates'][number]) => {
    const tested = product ?? register.families.find(({ code }) => code === family)?.tested
    const { plant } = register.products.find(({ code }) => code === tested) ?? {}
    const zone = register.plants.find(({ code }) => code === plant)?.zone ?? 'UTC'
    return expires < dayText(localDay(now, zone))
  }
  switch (list) {
    case 'families':
      return register.families.map(({ code, name, members, tested }) => ({
        code,
        cells: [
          name,
          members.map((member) => nameIn(register.products, member)).join('; '),
          nameIn(register.products, tested),
        ],
      }))
    case 'certificates':
      return [...register.certificates]
        .sort((a, b) => (a.expires < b.expires ? -1 : 1))
        .map((entry) => ({
          code: entry.code,
          cells: [ofWhat(entry), entry.issued, isPast(entry) ? `${entry.expires}, expired` : entry.expires],
        }))
    case 'duties':
      return register.duties.map((entry) => ({
        code: entry.code,
        cells: [
          ofWhat(entry),
          nameIn(register.laboratories, entry.laboratory),
          entry.first,
          entry.everyMonths === undefined ? 'never again' : monthly(entry.everyMonths),
        ],
      }))
    case 'shutdowns':
      return register.shutdowns.map(({ code, plant, from, to, reason }) => ({
        code,
        cells: [nameIn(register.plants, plant), from === to ? from : `${from} to ${to}`, reason ?? ''],
      }))
  }
}

function monthly(months: number): string {
  return months === 1 ? 'every month' : `every ${months} months`
}
