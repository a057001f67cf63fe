import { type ParsedMail, simpleParser } from 'mailparser'
import { beforeAll, describe, expect, test } from 'vitest'
import { getFitness } from '@/lib/custody/fitness'
import { formatKitCode } from '@/lib/custody/kitCode'
import { createComposer } from '@/lib/digest/delivery/createComposer'
import { DAY } from '@/lib/hold/zone'
import { OVERDUE_KINDS, type Overdue } from '@/lib/judgement/overdueKinds'
import { resolutionPath } from '@/lib/judgement/resolutionPath'
import { recordBackupFault, recordGoodBackup, recordSchedule } from '@/lib/store/backup/backupStatus'
import { getDueWork } from '@/lib/store/read/due/dueWork'
import { recordSetAside } from '@/lib/store/read/due/setAsides'
import { assessDemo } from '@/tests/demo/assessDemo'
import { makeDemoDatabase } from '@/tests/demo/demoDatabase'
import { NOBODY, ADMINISTRATOR as PROGRAMME } from '@/tests/judgement/responsibleViewer'
import type { TestDatabase } from '@/tests/setup/database'
import { ADMINISTRATOR, addPerson, SITE, WEEK } from './programme'

const demo = assessDemo('2026-11-25T12:00:00Z', 20_261_125)
const { now } = demo
const WHO = { who: 'person p', name: 'Wenna Ardle', address: null }
let database: TestDatabase
let pressing: Overdue[]
let administrator: string
beforeAll(async () => {
  database = (await makeDemoDatabase(demo)).database
  pressing = (await getDueWork(database.app, 'all', now)).overdue
  administrator = await addPerson(database, 'office@test.invalid', [ADMINISTRATOR])
}, 240_000)

/** A person's mail as it is sent, parsed by another library; null if none is sent. */
async function readMail(personId: string): Promise<ParsedMail | null> {
  const { compose } = createComposer({
    app: database.app,
    authPool: database.authPool,
    site: SITE,
    now,
  })
  const made = await compose({ personId, occasion: WEEK, dueAt: now })
  return made && simpleParser(made.wire.message)
}

const makeContact = (place: string) =>
  addPerson(database, `${place}@test.invalid`, [{ role: 'plant contact', place }])
const makeDesk = (place: string) =>
  addPerson(database, `${place}@test.invalid`, [{ role: 'laboratory desk', place }])
const byActor = (code: string) => pressing.filter(({ actor }) => 'code' in actor && actor.code === code)

/** The items of a text: the words of each on one line, and its URL. */
function listTextItems(text: string): { words: string; url: string }[] {
  return [...text.matchAll(/^\* ((?:.+\n)+?) {2}(https:\S+)$/gm)].map(([, words = '', url = '']) => ({
    words: words.replace(/\s+/g, ' ').trim(),
    url,
  }))
}

const ENTITY = /&#(\d+);/g

/** The words of a piece of HTML, as a reader sees them. */
function toText(html: string): string {
  return html
    .replace(/<style>.*<\/style>/s, '')
    .replace(/<(?:br|\/td|\/tr)>/g, ' ')
    .replace(/<[^>]+>/g, '')
    .replace(ENTITY, (_, code) => String.fromCharCode(Number(code)))
    .replace(/\s+/g, ' ')
    .trim()
}

/** The items of the HTML: the words of each cell, and its URL. */
function listHtmlItems(html: string): { words: string; url: string }[] {
  return [...html.matchAll(/<td class="ink"[^>]*>((?:<b>[^<]*<\/b>)?<a [^>]*href="([^"]+)".*?)<\/td>/g)].map(
    ([, cell = '', url = '']) => ({
      words: toText(cell),
      url: url.replace(ENTITY, (_, code) => String.fromCharCode(Number(code))),
    }),
  )
}

const keepLetters = (words: string) =>
  words
    .toLowerCase()
    .replace(/[^\p{L}\p{N}%]+/gu, ' ')
    .trim()

describe('an administrator’s mail', () => {
  test('begins with up to three things of others that are lost before the first own one', async () => {
    const { digest } = createComposer({
      app: database.app,
      authPool: database.authPool,
      site: SITE,
      now,
    })
    const { toDo, others } = (await digest(administrator, WEEK, now)) ?? expect.fail('no digest')
    const ownLossAt = toDo[0]?.loss?.at ?? Number.POSITIVE_INFINITY
    const sooner = others.filter(({ loss }) => loss !== null && loss.at < ownLossAt)
    expect(sooner.length).toBeGreaterThan(1)
    const top = ((await readMail(administrator))?.text ?? '').split('YOURS TO DO')[0]?.replace(/\s+/g, ' ')
    for (const { sample } of sooner.slice(0, 3)) expect(top).toContain(formatKitCode(sample?.code ?? 'none'))
    expect(top?.match(/ has to /g)?.length).toBeGreaterThanOrEqual(Math.min(3, sooner.length))
  })

  test('names all that is overdue over all plants, each kind with the page that settles it', async () => {
    const mail = await readMail(administrator)
    const urls = listTextItems(mail?.text ?? '').map(({ url }) => url)
    const expected = pressing.map((one) => SITE.url + resolutionPath(one, PROGRAMME))
    expect(new Set(pressing.map(({ kind }) => kind))).toEqual(new Set(OVERDUE_KINDS))
    expect(urls).toEqual(expect.arrayContaining(expected))
  })

  test('lists own things that can still be saved first, the soonest lost first', async () => {
    const mail = await readMail(administrator)
    const items = listTextItems(mail?.text ?? '')
    const programmes = pressing.filter(({ actor }) => actor.by === 'programme')
    const own = new Set(programmes.map((one) => SITE.url + resolutionPath(one, PROGRAMME)))
    const theirs = pressing.filter(({ actor }) => actor.by !== 'programme')
    const ofOthers = new Set(theirs.map((one) => SITE.url + resolutionPath(one, PROGRAMME)))
    const last = items.findLastIndex(({ url }) => own.has(url))
    expect(items.slice(0, last).some(({ url }) => ofOthers.has(url))).toBe(false)
    const first = items[0]?.words ?? ''
    expect(first).toMatch(/has to be in the chamber by .+, or it lapses\.$/)
    expect(mail?.text).toMatch(/^First: /)
    expect(keepLetters(mail?.text ?? '').slice(0, 30)).toBe(`first ${keepLetters(first)}`.slice(0, 30))
  })

  test('names people whose mail is refused, with the mail server’s words, and people who did nothing', async () => {
    const gone = await makeContact('SUV1')
    await database.authPool.query(
      `insert into digest_mail (person_id, occasion, due_at, state, address, said, ended_at)
       values ($1, '2026-W47', $2, 'refused', 'SUV1@test.invalid', '550 No such box in this house', $2)`,
      [gone, new Date(now - 7 * DAY)],
    )
    await database.authPool.query(
      `update digest_mail set address = (select email from person where id = person_id)`,
    )
    const mail = await readMail(administrator)
    for (const body of [mail?.text, mail?.html || '']) {
      const said = toText(body ?? '').toLowerCase()
      expect(said).toContain('the mail server said “550 No such box in this house”'.toLowerCase())
      expect(said).toContain('nothing done for two weeks')
    }
    const contact = await readMail(gone)
    expect(contact?.text).not.toContain('No such box')
    expect(contact?.text?.toLowerCase()).not.toContain('nothing done for two weeks')
  })
})

describe('the last backup', () => {
  const say = async (person: string) => ((await readMail(person))?.text ?? '').replace(/\s+/g, ' ')

  test('is told to administrators alone, as a warning once it is overdue', async () => {
    const { app } = database
    expect(await say(administrator)).not.toMatch(/backup/i)
    await recordSchedule(app, now - DAY)
    expect(await say(administrator)).toMatch(/BACKUP No backup has been made yet\./)
    await recordSchedule(app, now - 3 * DAY)
    const warned = /WARNING: NO BACKUP FOR MORE THAN TWO DAYS No backup has been made yet\./
    expect(await say(administrator)).toMatch(warned)
    await recordGoodBackup(app, { at: now - DAY, file: '/b/one', bytes: 1 })
    expect(await say(administrator)).toMatch(
      /BACKUP The last good backup is of Tue 24 November at 12:00 Lisbon\./,
    )
    await recordGoodBackup(app, { at: now - 3 * DAY, file: '/b/one', bytes: 1 })
    await recordBackupFault(app, now, 'no space left on device')
    expect(await say(administrator)).toMatch(
      /WARNING: .* The last good backup is of Sun 22 November at 12:00 Lisbon\. The last attempt failed: “no space left on device”/,
    )
    expect(await say(await makeContact('DRA2'))).not.toMatch(/backup/i)
  })
})

describe('text and HTML', () => {
  test('have the same items and words in the same order, for every reader', async () => {
    const desk = await makeDesk('OVR')
    const contact = await makeContact('DRA2')
    for (const person of [administrator, desk, contact]) {
      const mail = await readMail(person)
      const [text, html] = [listTextItems(mail?.text ?? ''), listHtmlItems(mail?.html || '')]
      expect(text.length).toBeGreaterThan(1)
      const links = html.filter(({ words }) => !/^(See what|And \d+ more)/.test(words))
      expect(links.map(({ url }) => url)).toEqual(text.map(({ url }) => url))
      expect(links.map(({ words }) => keepLetters(words))).toEqual(
        text.map(({ words }) => keepLetters(words)),
      )
    }
  })

  test('load nothing from other sites, and lines of text have at most 76 characters, except URLs', async () => {
    const mail = await readMail(administrator)
    expect(mail?.html).not.toMatch(/<(img|script|link|iframe)|url\(|@import|src=/i)
    const wide = (mail?.text ?? '')
      .split('\n')
      .filter((line) => line.length > 76 && !/^ *https:\S+$/.test(line))
    expect(wide).toEqual([])
  })
})

describe('a plant’s contact', () => {
  test('gets what is theirs and nothing of another plant: no code, no name, no product', async () => {
    for (const { code } of demo.register.plants) {
      const mail = await readMail(await makeContact(code))
      const said = [mail?.subject, mail?.text, mail?.html && toText(mail.html)]
        .join('\n')
        .replace(/\s+/g, ' ')
      for (const { sample } of byActor(code)) if (sample) expect(said).toContain(formatKitCode(sample))
      const own = demo.register.products.filter(({ plant }) => plant === code).map(({ name }) => name)
      const foreign = [
        ...demo.samples
          .filter(({ kit }) => kit.plant !== code)
          .flatMap(({ kit }) => [kit.code, formatKitCode(kit.code)]),
        ...demo.register.plants.filter((other) => other.code !== code).map(({ name }) => name),
        ...demo.register.products
          .filter(({ plant, name }) => plant !== code && !own.some((one) => one.includes(name)))
          .map(({ name }) => name),
      ]
      expect(foreign.filter((words) => said.includes(words))).toEqual([])
    }
  })

  test('reads the safety caution only if something is to be cut', async () => {
    const [cutting, other] = [
      await readMail(await makeContact('DRA2')),
      await readMail(await makeDesk('OVR')),
    ]
    expect(byActor('DRA2').some(({ kind }) => kind === 'not cut')).toBe(true)
    expect(cutting?.text?.match(/safety\s+rules/g)).toHaveLength(1)
    expect(other?.text).not.toMatch(/safety\s+rules/)
  })
})

test('a laboratory’s desk gets what is its own, and what to expect', async () => {
  const mail = await readMail(await makeDesk('LUS'))
  const urls = listTextItems(mail?.text ?? '').map(({ url }) => url)
  const own = byActor('LUS').map(
    (one) => SITE.url + resolutionPath(one, { ...NOBODY, laboratories: ['LUS'] }),
  )
  expect(own.length).toBeGreaterThan(0)
  expect(urls).toEqual(expect.arrayContaining(own))
  expect(mail?.text).toContain('* Expect ')
})

test('samples that would be lost before the next weekly mail are to be done now, overdue or not', async () => {
  const mail = await readMail(await makeDesk('OVR'))
  const [before = ''] = (mail?.text ?? '').split('COMING UP')
  const waiting = demo.open.filter((sample) => {
    const { kit, history, clocks } = sample
    return (
      kit.laboratory === 'OVR' &&
      getFitness(sample, now) === 'fit' &&
      history.milestones.has('received') &&
      !history.milestones.has('loaded') &&
      clocks.some(({ startedAt, stoppedAt, dueAt }) => {
        const isRunning = startedAt !== null && stoppedAt === null && dueAt !== null
        return isRunning && dueAt > now && dueAt <= now + 7 * DAY
      })
    )
  })
  expect(waiting.length).toBeGreaterThan(2)
  for (const { kit } of waiting) expect(before).toContain(`oad ${formatKitCode(kit.code)}`)
})

test('people with nothing overdue get a line, or no mail if they chose that', async () => {
  const calm = demo.register.plants.find(({ code }) => byActor(code).length === 0)?.code as string
  const person = await makeContact(calm)
  const mail = await readMail(person)
  expect(mail?.text).toMatch(/^(Nothing is overdue, and nothing is yours to do|Nothing is yours to do)\./)
  await database.authPool.query(
    'insert into digest_preference (person_id, wants_quiet_line) values ($1, false)',
    [person],
  )
  expect(await readMail(person)).toBe(null)
})

test('tasks that are set aside are only counted, until their time is over', async () => {
  const late = pressing.find(({ kind }) => kind === 'report late') as Overdue
  const url = SITE.url + resolutionPath(late, PROGRAMME)
  await recordSetAside(
    database.app,
    'all',
    late,
    { untilAt: now + DAY, reason: 'the chamber is mended' },
    WHO,
    now,
  )
  const mail = await readMail(administrator)
  expect(listTextItems(mail?.text ?? '').map((item) => item.url)).not.toContain(url)
  expect(mail?.text).toContain('1 overdue task is set aside.')
  expect(mail?.text).toContain(`${SITE.url}/due`)
})
