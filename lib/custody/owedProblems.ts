import { parseDay } from '@/lib/hold/zone'
import { MOST_DAYS } from './owedContents'
import type { RegisterParts } from './registerDocument'

/** The longest shutdown that is taken, in days: a slip of the year would keep a plant shut for good. */
const LONGEST_SHUTDOWN = 400

type Problem = (detail: string, ...path: (string | number)[]) => void

/** What is wrong with families, certificates, duties, shutdowns and workdays, each said by `problem` at its place. */
export function owedProblems(document: RegisterParts, problem: Problem): void {
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
  familyProblems(document, problem)
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
    const most = entry.everyMonths === undefined ? MOST_DAYS : entry.everyMonths * 28
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
    const days = (parseDay(entry.to) as number) - (parseDay(entry.from) as number) + 1
    if (days < 1) problem('It ends before it begins; check both days.', 'shutdowns', index, 'to')
    if (days > LONGEST_SHUTDOWN)
      problem(`It is longer than ${LONGEST_SHUTDOWN} days; check the years.`, 'shutdowns', index, 'to')
  })
}

function familyProblems(document: RegisterParts, problem: Problem): void {
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
