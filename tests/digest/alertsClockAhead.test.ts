import { beforeAll, beforeEach, expect, test } from 'vitest'
import { pollDueMail } from '@/lib/digest/delivery/pollDueMail'
import { OTHER_KIT } from '@/tests/cases/smallProgramme'
import { createAlertProgramme, DAY, formatMails, HOUR, MINUTE } from './alertProgramme'
import { type MailServer, startMailServer } from './mailServer'

let office: MailServer
let programme: Awaited<ReturnType<typeof createAlertProgramme>>
beforeAll(async () => {
  office = await startMailServer()
})
beforeEach(async () => {
  programme = await createAlertProgramme(office, 3)
  await programme.choose('ann')
})

/** Polls while the clock is so far ahead, and sends nothing before it is back. */
const pollAhead = (ms: number) => pollDueMail({ ...programme, now: programme.now + ms })

/** Goes so far on by the true clock, and lists what a poll there sends. */
async function arrivedAfter(ms: number) {
  programme.now += ms
  await programme.tick()
  return programme.arrived()
}

test('an alert that was made ahead of time and not sent is sent when its time comes, once', async () => {
  await programme.report('collected', programme.now - 9 * DAY)
  await programme.tick()
  await pollAhead(30 * HOUR)
  expect(await programme.rows()).toMatchObject([{ state: 'waiting' }])
  for (const ms of [MINUTE, 23 * HOUR]) expect(await arrivedAfter(ms)).toEqual([])
  expect(await arrivedAfter(HOUR)).toEqual(formatMails(['ann'], 'has lapsed'))
  for (const ms of [MINUTE, 6 * HOUR, DAY]) expect(await arrivedAfter(ms)).toEqual([])
})

test('one whose change does not come about is not sent', async () => {
  await programme.report('collected', programme.now - 9 * DAY)
  await programme.tick()
  await pollAhead(30 * HOUR)
  programme.now += HOUR
  await programme.report('loaded', programme.now)
  for (const ms of [0, 23 * HOUR, HOUR]) expect(await arrivedAfter(ms)).toEqual([])
  expect(await programme.rows()).toMatchObject([{ state: 'nothing to say' }])
})

test('samples that were one mail ahead of time are sent each in its own time', async () => {
  for (const [index, sample] of programme.kits.entries())
    await programme.report('collected', programme.now - 10 * DAY + (1 + 10 * index) * HOUR, { sample })
  await programme.tick()
  await pollAhead(30 * HOUR)
  expect(await programme.rows()).toHaveLength(3)
  expect(await arrivedAfter(MINUTE)).toEqual([])
  for (let index = 0; index < 3; index++) {
    expect(await arrivedAfter(2 * HOUR)).toEqual([expect.stringMatching(/has lapsed$/)])
    expect(await arrivedAfter(8 * HOUR)).toEqual([])
  }
})

test('what a poll three days ahead takes for too old is alerted once the clock is back', async () => {
  await programme.report('collected', programme.now - 10 * DAY + 5 * MINUTE)
  await programme.report('collected', programme.now - DAY, { sample: programme.kits[1] })
  await programme.tick()
  programme.now += MINUTE
  await programme.report('received', programme.now, { sample: programme.kits[1] })
  await pollAhead(3 * DAY)
  expect(await programme.rows()).toEqual([])
  expect(await arrivedAfter(9 * MINUTE)).toEqual([
    ...formatMails(['ann'], 'has lapsed'),
    expect.stringMatching(/has arrived$/),
  ])
  expect(await arrivedAfter(MINUTE)).toEqual([])
})

test('a sample that was at risk by the clock ahead is alerted when it truly is', async () => {
  await programme.report('collected', programme.now - 8 * DAY)
  await programme.report('collected', programme.now - 2 * DAY, { sample: OTHER_KIT })
  await programme.tick()
  await pollAhead(3 * DAY)
  const found: string[] = []
  for (let hour = 0; hour < 36; hour += 3) found.push(...(await arrivedAfter(3 * HOUR)))
  expect(found).toEqual(formatMails(['ann'], 'is at risk'))
})
