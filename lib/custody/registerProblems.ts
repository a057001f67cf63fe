import { parseIsoDate } from '@/lib/hold/zone'
import { findKitCodeFault, isKitCode } from './kitCode'
import type { RegisterParts, RegisterProblem } from './registerDocument'
import { MAX_DAYS } from './testingEntries'

/** A JSON pointer to a place in a document. */
export function toPointer(...path: (string | number)[]): string {
  return path.map((part) => `/${String(part).replaceAll('~', '~0').replaceAll('/', '~1')}`).join('')
}

/** What is wrong between the entries of a document, and within those that have the right shape. */
export function findReferenceProblems(document: RegisterParts): RegisterProblem[] {
  const problems: RegisterProblem[] = []
  const problem = (detail: string, ...path: (string | number)[]) =>
    problems.push({ pointer: toPointer(...path), detail })
  const places = new Map<string, string>()
  const unique = (list: keyof RegisterParts, seen: Map<string, string>) =>
    document[list].forEach(({ code }, index) => {
      if (code === null) return
      const first = seen.get(code)
      if (first !== undefined)
        problem(`The code "${code}" is used twice; ${first} has it already.`, list, index, 'code')
      else seen.set(code, toPointer(list, index))
    })
  const services = new Map<string, string>()
  const protocols = new Map<string, string>()
  const products = new Map<string, string>()
  const kits = new Map<string, string>()
  unique('laboratories', places)
  unique('plants', places)
  unique('services', services)
  unique('protocols', protocols)
  unique('products', products)
  unique('families', new Map())
  unique('certificates', new Map())
  unique('duties', new Map())
  unique('kits', kits)
  const given = (list: 'pickups' | 'shutdowns', words: string) => {
    const seen = new Map<string, string>()
    document[list].forEach(({ code }, index) => {
      if (code === null) return
      const first = seen.get(code)
      if (first === undefined) seen.set(code, toPointer(list, index))
      else problem(`${words} given twice; ${first} says it already.`, list, index, 'plant')
    })
  }
  given('pickups', 'The pickups of this service at this plant are')
  given('shutdowns', 'The shutdown of this plant from that day is')

  const laboratories = new Set(document.laboratories.map(({ code }) => code))
  const plants = new Set(document.plants.map(({ code }) => code))
  const plantOfProduct = new Map(document.products.map(({ code, content }) => [code, content?.plant]))

  document.laboratories.forEach(({ content: entry }, index) => {
    if (!entry) return
    const days = Object.entries(entry.receiving)
    if (!days.some(([, spans]) => spans.length > 0))
      problem(
        'A laboratory opens on at least one weekday; give it receiving hours.',
        'laboratories',
        index,
        'receiving',
      )
    for (const [day, spans] of days)
      for (const detail of findHoursFaults(spans)) problem(detail, 'laboratories', index, 'receiving', day)
  })
  document.protocols.forEach(({ content: entry }, index) => {
    if (!entry) return
    const names = new Set<string>()
    entry.limits.forEach((one, position) => {
      if (names.has(one.name))
        problem(
          `Two limits of this protocol are called "${one.name}".`,
          'protocols',
          index,
          'limits',
          position,
          'name',
        )
      names.add(one.name)
    })
    if (entry.tight !== undefined && entry.atRisk !== undefined && entry.tight > entry.atRisk)
      problem('"tight" comes before "atRisk"; it cannot be the larger chance.', 'protocols', index, 'tight')
  })
  document.products.forEach(({ content: entry }, index) => {
    if (!entry) return
    if (!plants.has(entry.plant))
      problem(`No plant has the code "${entry.plant}".`, 'products', index, 'plant')
    if (!protocols.has(entry.protocol))
      problem(`No protocol has the code "${entry.protocol}".`, 'products', index, 'protocol')
  })
  document.pickups.forEach(({ content: entry }, index) => {
    if (!entry) return
    if (!plants.has(entry.plant))
      problem(`No plant has the code "${entry.plant}".`, 'pickups', index, 'plant')
    if (!services.has(entry.service))
      problem(`No service has the code "${entry.service}".`, 'pickups', index, 'service')
    if (Object.keys(entry.hours).length === 0)
      problem(
        'Give the hour of the pickup on at least one weekday, or leave the entry out.',
        'pickups',
        index,
        'hours',
      )
  })
  findTestingProblems(document, problem)
  document.kits.forEach(({ content: entry }, index) => {
    if (!entry) return
    const at = (field: string, detail: string) => problem(detail, 'kits', index, field)
    if (!isKitCode(entry.code)) at('code', findKitCodeFault(entry.code))
    if (!plants.has(entry.plant)) at('plant', `No plant has the code "${entry.plant}".`)
    if (!laboratories.has(entry.laboratory))
      at('laboratory', `No laboratory has the code "${entry.laboratory}".`)
    if (entry.service !== undefined && !services.has(entry.service))
      at('service', `No service has the code "${entry.service}".`)
    if (entry.product !== undefined) {
      const owner = plantOfProduct.get(entry.product)
      if (!products.has(entry.product)) at('product', `No product has the code "${entry.product}".`)
      else if (owner !== undefined && owner !== entry.plant)
        at(
          'product',
          `Product "${entry.product}" is made by plant "${owner}", and the kit is for "${entry.plant}".`,
        )
    }
    if (entry.replaces !== undefined && !kits.has(entry.replaces))
      at('replaces', `No kit has the code "${entry.replaces}".`)
  })
  return problems
}

/** What is wrong with the receiving hours of one weekday, such as 08:00-12:00 and 13:00-16:30. */
function findHoursFaults(spans: readonly string[]): string[] {
  const minutes = (text: string) => Number(text.slice(0, 2)) * 60 + Number(text.slice(3, 5))
  const read = spans.map((text) => ({ text, from: minutes(text), to: minutes(text.slice(6)) }))
  const faults = read
    .filter(
      ({ text, from, to }) =>
        from >= to || to > 24 * 60 || Number(text.slice(3, 5)) > 59 || Number(text.slice(9)) > 59,
    )
    .map(({ text }) => `"${text}" is not a span of one day; write hours as 08:00-16:30.`)
  const ordered = [...read].sort((a, b) => a.from - b.from)
  ordered.forEach((span, index) => {
    const before = ordered[index - 1]
    if (before && span.from < before.to) faults.push(`"${before.text}" and "${span.text}" overlap.`)
  })
  return faults
}

/** The longest shutdown that is taken, in days: a slip of the year would keep a plant shut for good. */
const MAX_SHUTDOWN_DAYS = 400

type AddProblem = (detail: string, ...path: (string | number)[]) => void

/** What is wrong with families, certificates, duties, shutdowns and workdays, each said by `problem` at its place. */
function findTestingProblems(document: RegisterParts, problem: AddProblem): void {
  const products = new Map(document.products.map(({ code, content }) => [code, content]))
  const families = new Set(document.families.map(({ code }) => code))
  const has = (list: 'plants' | 'laboratories' | 'services' | 'protocols', wanted: string) =>
    document[list].some(({ code }) => code === wanted)

  document.plants.forEach(({ content }, index) => {
    if (content?.workdays && content.workdays.length === 0)
      problem(
        'A plant works on at least one weekday; name them, or leave them out for Monday to Friday.',
        'plants',
        index,
        'workdays',
      )
  })
  findFamilyProblems(document, problem)
  const ofOne = (
    list: 'certificates' | 'duties',
    index: number,
    entry: { product?: string; family?: string },
  ) => {
    if (entry.product === undefined && entry.family === undefined)
      problem('Name the product or the family that it is for.', list, index, 'product')
    if (entry.product !== undefined && entry.family !== undefined)
      problem('Name either a product or a family, not both.', list, index, 'family')
    else if (entry.product !== undefined && !products.has(entry.product))
      problem(`No product has the code "${entry.product}".`, list, index, 'product')
    else if (entry.family !== undefined && !families.has(entry.family))
      problem(`No family has the code "${entry.family}".`, list, index, 'family')
  }
  document.certificates.forEach(({ content: entry }, index) => {
    if (!entry) return
    ofOne('certificates', index, entry)
    if (entry.expires < entry.issued)
      problem('It expires before it was issued; check both dates.', 'certificates', index, 'expires')
  })
  document.duties.forEach(({ content: entry }, index) => {
    if (!entry) return
    ofOne('duties', index, entry)
    const at = (field: string, detail: string) => problem(detail, 'duties', index, field)
    if (!has('laboratories', entry.laboratory))
      at('laboratory', `No laboratory has the code "${entry.laboratory}".`)
    if (entry.service !== undefined && !has('services', entry.service))
      at('service', `No service has the code "${entry.service}".`)
    if (entry.protocol !== undefined && !has('protocols', entry.protocol))
      at('protocol', `No protocol has the code "${entry.protocol}".`)
    const least = entry.kitDays + entry.loadDays + entry.testDays + entry.reportDays
    if (entry.windowDays < least)
      at(
        'windowDays',
        `The work of one test takes at least ${least} days, so a kit has to count from that many days before: write ${least} or more.`,
      )
    // The shortest so many months in a row: February and 30-day months make them shorter than 30 days each.
    const most = entry.everyMonths === undefined ? MAX_DAYS : entry.everyMonths * 28
    if (entry.windowDays > most)
      at(
        'windowDays',
        `It is longer than ${entry.everyMonths} months, and a kit would count for two tests: write ${most} or less.`,
      )
  })
  document.shutdowns.forEach(({ content: entry }, index) => {
    if (!entry) return
    if (!has('plants', entry.plant))
      problem(`No plant has the code "${entry.plant}".`, 'shutdowns', index, 'plant')
    const days = (parseIsoDate(entry.to) as number) - (parseIsoDate(entry.from) as number) + 1
    if (days < 1) problem('It ends before it begins; check both days.', 'shutdowns', index, 'to')
    if (days > MAX_SHUTDOWN_DAYS)
      problem(`It is longer than ${MAX_SHUTDOWN_DAYS} days; check the years.`, 'shutdowns', index, 'to')
  })
}

function findFamilyProblems(document: RegisterParts, problem: AddProblem): void {
  const products = new Map(document.products.map(({ code, content }) => [code, content]))
  const makers = new Map(document.plants.map(({ code, content }) => [code, content?.maker]))
  const familyOf = new Map<string, string>()
  document.families.forEach(({ content: entry }, index) => {
    if (!entry) return
    const at = (detail: string, ...path: (string | number)[]) => problem(detail, 'families', index, ...path)
    entry.members.forEach((member, position) => {
      if (!products.has(member)) at(`No product has the code "${member}".`, 'members', position)
      const other = familyOf.get(member)
      if (other === entry.code) at(`"${member}" is named twice.`, 'members', position)
      else if (other !== undefined)
        at(`"${member}" belongs to the family "${other}" already; a product is in one.`, 'members', position)
      else familyOf.set(member, entry.code)
    })
    if (!entry.members.includes(entry.tested))
      at(`"${entry.tested}" is no member; the one that is tested has to be.`, 'tested')
    const of = new Set(
      entry.members
        .map((member) => makers.get(products.get(member)?.plant ?? null))
        .filter((maker) => maker !== undefined),
    )
    if (of.size > 1)
      at('Its members are of different makers; one maker’s test says nothing of another’s.', 'members')
  })
}
