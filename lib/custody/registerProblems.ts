import { parseIsoDate } from '@/lib/hold/zone'
import { type Message, message } from '@/lib/messages/message'
import { findKitCodeFault, isKitCode } from './kitCode'
import type { RegisterParts } from './registerDocument'
import { MAX_DAYS } from './testingEntries'

/** A JSON pointer (RFC 6901). */
export function toPointer(...path: (string | number)[]): string {
  return path.map((part) => `/${String(part).replaceAll('~', '~0').replaceAll('/', '~1')}`).join('')
}

/** Takes each problem that is found. */
export type AddProblem = (detail: Message, ...path: (string | number)[]) => void

/** Finds the problems between entries, and within those of the right shape, in short steps. */
export function* findReferenceProblems(
  document: RegisterParts,
  problem: AddProblem,
): Generator<undefined, void> {
  const places = new Map<string, string>()
  function* unique(list: keyof RegisterParts, seen: Map<string, string>) {
    for (const [index, { code }] of document[list].entries()) {
      yield
      if (code === null) continue
      const first = seen.get(code)
      if (first !== undefined) problem(message('register.codeTwice', { code, first }), list, index, 'code')
      else seen.set(code, toPointer(list, index))
    }
  }
  const services = new Map<string, string>()
  const protocols = new Map<string, string>()
  const products = new Map<string, string>()
  const kits = new Map<string, string>()
  yield* unique('laboratories', places)
  yield* unique('plants', places)
  yield* unique('services', services)
  yield* unique('protocols', protocols)
  yield* unique('products', products)
  yield* unique('families', new Map())
  yield* unique('certificates', new Map())
  yield* unique('duties', new Map())
  yield* unique('kits', kits)
  const given = (list: 'pickups' | 'shutdowns', key: 'register.pickupsTwice' | 'register.shutdownTwice') => {
    const seen = new Map<string, string>()
    document[list].forEach(({ code }, index) => {
      if (code === null) return
      const first = seen.get(code)
      if (first === undefined) seen.set(code, toPointer(list, index))
      else problem(message(key, { first }), list, index, 'plant')
    })
  }
  given('pickups', 'register.pickupsTwice')
  given('shutdowns', 'register.shutdownTwice')

  const laboratories = new Set(document.laboratories.map(({ code }) => code))
  const plants = new Set(document.plants.map(({ code }) => code))
  const plantOfProduct = new Map(document.products.map(({ code, content }) => [code, content?.plant]))

  for (const [index, { content: entry }] of document.laboratories.entries()) {
    yield
    if (!entry) continue
    const days = Object.entries(entry.receiving)
    if (!days.some(([, spans]) => spans.length > 0))
      problem(message('register.noOpeningHours'), 'laboratories', index, 'receiving')
    for (const [day, spans] of days)
      for (const detail of findHoursFaults(spans)) problem(detail, 'laboratories', index, 'receiving', day)
  }
  for (const [index, { content: entry }] of document.protocols.entries()) {
    yield
    if (!entry) continue
    const names = new Set<string>()
    entry.limits.forEach((one, position) => {
      if (names.has(one.name))
        problem(
          message('register.limitTwice', { name: one.name }),
          'protocols',
          index,
          'limits',
          position,
          'name',
        )
      names.add(one.name)
    })
    if (entry.tight !== undefined && entry.atRisk !== undefined && entry.tight > entry.atRisk)
      problem(message('register.thresholds'), 'protocols', index, 'tight')
  }
  for (const [index, { content: entry }] of document.products.entries()) {
    yield
    if (!entry) continue
    if (!plants.has(entry.plant))
      problem(message('register.unknownPlant', { code: entry.plant }), 'products', index, 'plant')
    if (!protocols.has(entry.protocol))
      problem(message('register.unknownProtocol', { code: entry.protocol }), 'products', index, 'protocol')
  }
  for (const [index, { content: entry }] of document.pickups.entries()) {
    yield
    if (!entry) continue
    if (!plants.has(entry.plant))
      problem(message('register.unknownPlant', { code: entry.plant }), 'pickups', index, 'plant')
    if (!services.has(entry.service))
      problem(message('register.unknownService', { code: entry.service }), 'pickups', index, 'service')
    if (Object.keys(entry.hours).length === 0)
      problem(message('register.pickupDays'), 'pickups', index, 'hours')
  }
  yield* findTestingProblems(document, problem)
  for (const [index, { content: entry }] of document.kits.entries()) {
    yield
    if (!entry) continue
    const at = (field: string, detail: Message) => problem(detail, 'kits', index, field)
    if (!isKitCode(entry.code)) at('code', findKitCodeFault(entry.code))
    if (!plants.has(entry.plant)) at('plant', message('register.unknownPlant', { code: entry.plant }))
    if (!laboratories.has(entry.laboratory))
      at('laboratory', message('register.unknownLaboratory', { code: entry.laboratory }))
    if (entry.service !== undefined && !services.has(entry.service))
      at('service', message('register.unknownService', { code: entry.service }))
    if (entry.product !== undefined) {
      const owner = plantOfProduct.get(entry.product)
      if (!products.has(entry.product))
        at('product', message('register.unknownProduct', { code: entry.product }))
      else if (owner !== undefined && owner !== entry.plant)
        at(
          'product',
          message('register.productOfOther', { product: entry.product, owner, plant: entry.plant }),
        )
    }
    if (entry.replaces !== undefined && !kits.has(entry.replaces))
      at('replaces', message('register.unknownKit', { code: entry.replaces }))
  }
}

/** Faults in the receiving hours of one weekday, such as 08:00-12:00 and 13:00-16:30. */
function findHoursFaults(spans: readonly string[]): Message[] {
  const minutes = (text: string) => Number(text.slice(0, 2)) * 60 + Number(text.slice(3, 5))
  const read = spans.map((text) => ({ text, from: minutes(text), to: minutes(text.slice(6)) }))
  const faults = read
    .filter(
      ({ text, from, to }) =>
        from >= to || to > 24 * 60 || Number(text.slice(3, 5)) > 59 || Number(text.slice(9)) > 59,
    )
    .map(({ text }) => message('register.hoursSpan', { span: text }))
  const ordered = [...read].sort((a, b) => a.from - b.from)
  ordered.forEach((span, index) => {
    const before = ordered[index - 1]
    if (before && span.from < before.to)
      faults.push(message('register.hoursOverlap', { first: before.text, second: span.text }))
  })
  return faults
}

/** A longer shutdown is taken for a typing error in the year. */
const MAX_SHUTDOWN_DAYS = 400

/** Adds the problems of families, certificates, duties, shutdowns and workdays. */
function* findTestingProblems(document: RegisterParts, problem: AddProblem): Generator<undefined, void> {
  const products = new Map(document.products.map(({ code, content }) => [code, content]))
  const families = new Set(document.families.map(({ code }) => code))
  const listCodes = (list: 'plants' | 'laboratories' | 'services' | 'protocols') =>
    new Set(document[list].map(({ code }) => code))
  const codes = {
    plants: listCodes('plants'),
    laboratories: listCodes('laboratories'),
    services: listCodes('services'),
    protocols: listCodes('protocols'),
  }
  const has = (list: keyof typeof codes, wanted: string) => codes[list].has(wanted)

  document.plants.forEach(({ content }, index) => {
    if (content?.workdays && content.workdays.length === 0)
      problem(message('register.noWorkdays'), 'plants', index, 'workdays')
  })
  findFamilyProblems(document, problem)
  const checkSubject = (
    list: 'certificates' | 'duties',
    index: number,
    entry: { product?: string; family?: string },
  ) => {
    if (entry.product === undefined && entry.family === undefined)
      problem(message('register.noSubject'), list, index, 'product')
    if (entry.product !== undefined && entry.family !== undefined)
      problem(message('register.twoSubjects'), list, index, 'family')
    else if (entry.product !== undefined && !products.has(entry.product))
      problem(message('register.unknownProduct', { code: entry.product }), list, index, 'product')
    else if (entry.family !== undefined && !families.has(entry.family))
      problem(message('register.unknownFamily', { code: entry.family }), list, index, 'family')
  }
  for (const [index, { content: entry }] of document.certificates.entries()) {
    yield
    if (!entry) continue
    checkSubject('certificates', index, entry)
    if (entry.expires < entry.issued)
      problem(message('register.expiresFirst'), 'certificates', index, 'expires')
  }
  for (const [index, { content: entry }] of document.duties.entries()) {
    yield
    if (!entry) continue
    checkSubject('duties', index, entry)
    const at = (field: string, detail: Message) => problem(detail, 'duties', index, field)
    if (!has('laboratories', entry.laboratory))
      at('laboratory', message('register.unknownLaboratory', { code: entry.laboratory }))
    if (entry.service !== undefined && !has('services', entry.service))
      at('service', message('register.unknownService', { code: entry.service }))
    if (entry.protocol !== undefined && !has('protocols', entry.protocol))
      at('protocol', message('register.unknownProtocol', { code: entry.protocol }))
    const minDays = entry.kitDays + entry.loadDays + entry.testDays + entry.reportDays
    if (entry.windowDays < minDays) at('windowDays', message('register.windowShort', { min: minDays }))
    // The shortest run of that many months: none is shorter than 28 days.
    const maxDays = entry.everyMonths === undefined ? MAX_DAYS : entry.everyMonths * 28
    if (entry.windowDays > maxDays)
      at(
        'windowDays',
        entry.everyMonths === undefined
          ? message('register.windowLongOnce', { max: maxDays })
          : message('register.windowLong', { months: entry.everyMonths, max: maxDays }),
      )
  }
  for (const [index, { content: entry }] of document.shutdowns.entries()) {
    yield
    if (!entry) continue
    if (!has('plants', entry.plant))
      problem(message('register.unknownPlant', { code: entry.plant }), 'shutdowns', index, 'plant')
    const days = (parseIsoDate(entry.to) as number) - (parseIsoDate(entry.from) as number) + 1
    if (days < 1) problem(message('register.shutdownEnds'), 'shutdowns', index, 'to')
    if (days > MAX_SHUTDOWN_DAYS)
      problem(message('register.shutdownLong', { max: MAX_SHUTDOWN_DAYS }), 'shutdowns', index, 'to')
  }
}

function findFamilyProblems(document: RegisterParts, problem: AddProblem): void {
  const products = new Map(document.products.map(({ code, content }) => [code, content]))
  const makers = new Map(document.plants.map(({ code, content }) => [code, content?.maker]))
  const familyByMember = new Map<string, string>()
  document.families.forEach(({ content: entry }, index) => {
    if (!entry) return
    const at = (detail: Message, ...path: (string | number)[]) => problem(detail, 'families', index, ...path)
    entry.members.forEach((member, position) => {
      if (!products.has(member)) at(message('register.unknownProduct', { code: member }), 'members', position)
      const other = familyByMember.get(member)
      if (other === entry.code) at(message('register.memberTwice', { member }), 'members', position)
      else if (other !== undefined)
        at(message('register.memberElsewhere', { member, family: other }), 'members', position)
      else familyByMember.set(member, entry.code)
    })
    if (!entry.members.includes(entry.tested))
      at(message('register.testedNotMember', { tested: entry.tested }), 'tested')
    const memberMakers = new Set(
      entry.members
        .map((member) => makers.get(products.get(member)?.plant ?? null))
        .filter((maker) => maker !== undefined),
    )
    if (memberMakers.size > 1) at(message('register.twoMakers'), 'members')
  })
}
