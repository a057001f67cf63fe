import type { Page } from 'playwright-core'
import { EVENT_KINDS } from '@/lib/custody/event'
import { previewMails } from '@/lib/digest/delivery/previewMails'
import { ROLE_NAMES } from '@/lib/policy/personRoles'
import type { TestDatabase } from '@/tests/setup/database'

/** A text of a page that is neither from the catalogue nor data of the programme. */
export interface ForeignText {
  where: string
  text: string
  left: string
}

/** Texts that are no messages. */
export interface KnownTexts {
  /** The longest first, by the letters that they begin with: of thousands, a text of a page holds a few. */
  byBeginning: ReadonlyMap<string, { text: string; order: number }[]>
  /** What was left of texts that were met before: pages repeat most of theirs. */
  left: Map<string, string>
}

/** What stands untranslated: the program's name, what the platform writes dates and lists with, since it does not know en-XA, and codes. */
const UNTRANSLATED =
  /\b(Holdfast|UTC|GMT|and|or|at|[AP]M|(Mon|Tues?|Wednes|Wed|Thurs?|Thu|Fri|Satur|Sat|Sun)(day)?|January|February|March|April|May|June|July|August|September|October|November|December|[0-9A-Z]{4}-[0-9A-Z]{4})\b/g

/**
 * All texts that are no messages, the longest first: what the database holds (names, codes, notes, the places in the names
 * of zones), words of the wire, and for pages that show them mails, which are in their reader's language.
 */
export async function readData(
  database: TestDatabase,
  { withMails }: { withMails: boolean },
): Promise<KnownTexts> {
  const texts = new Set<string>([...EVENT_KINDS, ...ROLE_NAMES])
  if (withMails)
    for (const { subject, text } of await previewMails(getMailContext(database), null, Date.now()))
      for (const line of [subject, ...(text ?? '').split('\n')]) addText(texts, line ?? '')
  const collect = (value: unknown): void => {
    if (typeof value === 'string') addText(texts, value)
    else if (Array.isArray(value)) for (const one of value) collect(one)
    else if (value && typeof value === 'object')
      for (const [key, one] of Object.entries(value)) {
        addText(texts, key)
        collect(one)
      }
  }
  const tables = await database.owner.query<{ name: string }>(
    `select format('%I.%I', schemaname, tablename) as name from pg_tables where schemaname = 'public'`,
  )
  for (const { name } of tables.rows) {
    const rows = await database.owner.query<{ row: object }>(`select to_jsonb(t) as row from ${name} t`)
    for (const { row } of rows.rows) for (const value of Object.values(row)) collect(value)
  }
  const byBeginning = new Map<string, { text: string; order: number }[]>()
  for (const [order, text] of [...texts].sort((a, b) => b.length - a.length).entries()) {
    const beginning = text.slice(0, BEGINNING)
    byBeginning.set(beginning, [...(byBeginning.get(beginning) ?? []), { text, order }])
  }
  return { byBeginning, left: new Map() }
}

/** Letters by which a known text is looked up; each has at least so many. */
const BEGINNING = 3

/** What mails are composed with. */
export const getMailContext = ({ app, authPool }: TestDatabase) => ({
  app,
  authPool,
  site: { url: 'http://0.0', from: 'a@b.invalid', secret: 'x'.repeat(32) },
})

function addText(texts: Set<string>, value: string): void {
  const text = value.replace(/\s+/g, ' ').trim()
  // Codes, ids and times are known by their digits.
  if (text.length < 2 || text.length > 2000 || !/[A-Za-z]{3}/.test(text) || /^\S*\d\S*$/.test(text)) return
  texts.add(text)
  // A list that was pasted is kept as it came.
  if (value.includes('\n')) for (const cell of value.split(/[\n,]/)) addText(texts, cell)
  // A zone is shown by its place.
  const place = /^[A-Z][A-Za-z]+\/(.*\/)?([A-Za-z_]+)$/.exec(text)?.[2]
  if (place) texts.add(place.replaceAll('_', ' '))
}

/** The texts of a page, shown or said to who listens, that have plain letters left when all data is taken out. */
export async function findForeignTexts(page: Page, data: KnownTexts): Promise<ForeignText[]> {
  return findForeign(await page.evaluate(readTexts), data)
}

/** The texts that have plain letters left when all data is taken out. */
export function findForeign(
  texts: readonly { where: string; text: string }[],
  data: KnownTexts,
): ForeignText[] {
  return texts.flatMap(({ where, text }) => {
    if (!/[A-Za-z]{3,}/.test(text)) return []
    const left = data.left.get(text) ?? removeKnown(text, data)
    data.left.set(text, left)
    return /[A-Za-z]{3,}/.test(left) ? [{ where, text, left: left.replace(/\s+/g, ' ').trim() }] : []
  })
}

function removeKnown(text: string, { byBeginning }: KnownTexts): string {
  const plain = text.replace(/\s+/g, ' ')
  const beginnings = new Set(Array.from({ length: plain.length }, (_, at) => plain.slice(at, at + BEGINNING)))
  return [...beginnings]
    .flatMap((beginning) => byBeginning.get(beginning) ?? [])
    .sort((a, b) => a.order - b.order)
    .reduce((rest, one) => rest.replaceAll(toPattern(one.text), ' '), plain)
    .replace(UNTRANSLATED, ' ')
    .replace(/\S*[\d@]\S*/g, ' ')
}

/** A short word is data only as a whole word. */
const toPattern = (text: string) => (/^\w{1,5}$/.test(text) ? new RegExp(`\\b${text}\\b`, 'g') : text)

/** Runs in the browser. Code is for machines, and what is typed is data. */
function readTexts(): { where: string; text: string }[] {
  const found: { where: string; text: string }[] = [{ where: 'title', text: document.title }]
  const name = (element: Element) => `${element.tagName.toLowerCase()}.${element.className}`
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT)
  while (walker.nextNode()) {
    const parent = walker.currentNode.parentElement
    if (
      !parent ||
      parent.closest('script, noscript, style, code, pre, kbd, textarea, [hidden], [lang]:not(html)')
    )
      continue
    const text = walker.currentNode.textContent?.trim()
    if (text) found.push({ where: name(parent), text })
  }
  for (const attribute of ['aria-label', 'title', 'alt', 'placeholder', 'aria-description'])
    for (const element of document.querySelectorAll(`[${attribute}]`))
      found.push({ where: `${name(element)} ${attribute}`, text: element.getAttribute(attribute) ?? '' })
  return found
}

/** What is cut off on a page: the page where it is wider than its window, and elements that hide the end of their text. */
export async function findCutOff(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const found: string[] = []
    const root = document.documentElement
    if (root.scrollWidth > root.clientWidth) {
      const all = [...document.querySelectorAll('body *')]
      const widest = all.filter((one) => one.getBoundingClientRect().right > root.clientWidth + 1).at(0)
      found.push(`the page is ${root.scrollWidth} px wide, for ${widest?.outerHTML.slice(0, 200)}`)
    }
    for (const element of document.querySelectorAll('body *')) {
      if (!(element instanceof HTMLElement) || element.clientWidth < 4) continue
      if (element.scrollWidth <= element.clientWidth + 1) continue
      const style = getComputedStyle(element)
      const hides = ['hidden', 'clip'].includes(style.overflowX)
      // A row of the board shortens the name of a product; the page of the sample has it whole.
      const isShortened = () => element.closest('[data-quiet] :has(> [data-sample])') !== null
      // What is only for who listens is a pixel wide on purpose.
      if (hides && style.position !== 'absolute' && !isShortened())
        found.push(
          `${element.tagName.toLowerCase()}.${element.className}: ${element.textContent?.slice(0, 60)}`,
        )
    }
    return found
  })
}
