import { beforeAll, expect, test } from 'vitest'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { chooseUsualOrLong } from '@/tests/setup/usualOrLong'
import { type MailServer, startMailServer } from './mailServer'
import { ADMINISTRATOR, addPerson, createDelivery, sendDue } from './programme'

/** Zones of both hemispheres, with half hours, a clock change of half an hour, one at midnight, and none. */
const ZONES = [
  'Europe/Lisbon',
  'America/New_York',
  'Asia/Kolkata',
  'Australia/Lord_Howe',
  'America/Santiago',
  'Pacific/Auckland',
]
const HOUR = 3_600_000
/** Between two polls: as after an outage of days, at varying hours; never a whole week. */
const STEP = chooseUsualOrLong({ usual: 163, long: 83 }) * HOUR
let database: TestDatabase
let office: MailServer
beforeAll(async () => {
  database = await makeTestDatabase()
  office = await startMailServer()
  for (const [index, zone] of ZONES.entries())
    await addPerson(database, `person${index}@test.invalid`, [ADMINISTRATOR], { zone })
  await database.authPool.query(`update person set created_at = '2024-01-01'`)
})

const LONG_YEAR = { year: 2026, weeks: 53, from: Date.UTC(2025, 11, 28, 12), until: Date.UTC(2027, 0, 3, 12) }
const SHORT_YEAR = { year: 2025, weeks: 52, from: Date.UTC(2024, 11, 29, 12), until: LONG_YEAR.from }

test.each(chooseUsualOrLong({ usual: [LONG_YEAR], long: [SHORT_YEAR, LONG_YEAR] }))(
  'the ISO year $year brings each of six zones $weeks mails, by a real mail server’s count',
  async (one) => {
    office.taken.splice(0)
    for (let now = one.from; now <= one.until; now += STEP)
      await sendDue(createDelivery(office.url, database, { now: () => now, senders: 3 }))
    const mails = await office.read()
    const listWeeks = (index: number) =>
      mails
        .filter(({ to }) => [to].flat()[0]?.value[0]?.address === `person${index}@test.invalid`)
        .map(({ messageId }) => /digest\.(\d{4}-W\d\d)\./.exec(messageId ?? '')?.[1])
        .filter((week) => week?.startsWith(`${one.year}-`))
    const named = Array.from(
      { length: one.weeks },
      (_, n) => `${one.year}-W${String(n + 1).padStart(2, '0')}`,
    )
    for (const index of ZONES.keys()) expect(listWeeks(index).sort(), ZONES[index]).toEqual(named)
  },
  240_000,
)
