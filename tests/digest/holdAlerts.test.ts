import type { ParsedMail } from 'mailparser'
import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { enqueueAlerts } from '@/lib/digest/alerts/enqueueAlerts'
import { DEFAULT_PREFERENCE, setDigestPreference } from '@/lib/store/people/digestPreference'
import { KIT } from '@/tests/cases/smallProgramme'
import { createAlertProgramme, DAY, formatMails, HOUR, MINUTE } from './alertProgramme'
import { type MailServer, startMailServer } from './mailServer'

const DESK = {
  by: 'person des',
  sides: ['laboratory' as const],
  kinds: null,
  plants: [],
  laboratories: ['LAB'],
}
const PLANT = {
  by: 'key p',
  sides: ['plant' as const],
  kinds: ['deviation'],
  plants: ['PL1'],
  laboratories: [],
}
const FOUND = { facts: { what: 'the bag is torn' } }
const SUBJECT = `Something was found on`

let office: MailServer
let programme: Awaited<ReturnType<typeof createAlertProgramme>>
beforeAll(async () => {
  office = await startMailServer()
})
beforeEach(async () => {
  programme = await createAlertProgramme(office)
  await programme.report('collected', programme.now - 2 * DAY)
  await programme.report('dispatched', programme.now - 2 * DAY + HOUR)
  await programme.tick()
  await programme.arrived()
  programme.now += MINUTE
})

/** The mails that arrived, by the name of their reader, as one line each. */
async function readByName(): Promise<Map<string, ParsedMail>> {
  const mails = await office.read()
  office.taken.splice(0)
  return new Map(
    mails.map((mail) => [`${[mail.to].flat()[0]?.value[0]?.address}`.split('@')[0] as string, mail]),
  )
}

const toLine = (body: string | false | undefined) => `${body}`.replace(/\s+/g, ' ')

const choose = (name: string, alerts: typeof DEFAULT_PREFERENCE.alerts) =>
  setDigestPreference(
    programme.authPool,
    programme.ids[name] as string,
    { ...DEFAULT_PREFERENCE, isWanted: false, alerts },
    { who: 'command', name: 'a test', address: null },
    programme.now,
  )

describe('a finding that holds a sample', () => {
  test('is told at once to the plant and the administrator, who chose nothing, and not to the desk that found it', async () => {
    await programme.report('received', programme.now)
    await programme.report('deviation', programme.now, FOUND, DESK)
    await Promise.all([programme.tick(), programme.tick()])
    const mails = await readByName()
    expect([...mails.keys()].sort()).toEqual(['ada', 'ann', 'mia'])
    const [ruling, waiting] = [mails.get('ada'), mails.get('ann')]
    for (const body of [ruling?.text, ruling?.html]) {
      expect(toLine(body)).toContain('the bag is torn')
      expect(toLine(body)).toContain('Rule on what was found on')
      expect(toLine(body)).toContain('Do not load it before the programme has ruled.')
      expect(body).toContain(`/samples/${KIT}?record=ruling`)
    }
    expect(toLine(waiting?.text)).toContain('Wait for the ruling on')
    expect(waiting?.text).toContain('the bag is torn')
    programme.now += MINUTE
    await programme.report('form copy', programme.now)
    await programme.tick()
    expect((await readByName()).size).toBe(0)
  })

  test('of the plant is told to the desk to which the sample is under way', async () => {
    await programme.report('deviation', programme.now, FOUND, PLANT)
    await programme.tick()
    const mails = await readByName()
    expect([...mails.keys()].sort()).toEqual(['ada', 'ann', 'des', 'mia'])
    expect(toLine(mails.get('des')?.text)).toContain('Do not load it before the programme has ruled.')
  })

  test('is not told to whoever chose not to be told, until they choose it again', async () => {
    await choose('ann', [])
    await choose('mia', ['arrived'])
    await programme.report('deviation', programme.now, FOUND)
    await programme.tick()
    expect([...(await readByName()).keys()].sort()).toEqual(['ada', 'des'])
    programme.now += MINUTE
    await choose('ann', ['hold'])
    await programme.report('deviation', programme.now, { facts: { what: 'the label is wet' } })
    await programme.tick()
    expect([...(await readByName()).keys()].sort()).toEqual(['ada', 'ann', 'des'])
  })

  test('is not told once it is ruled on or taken back, and another one then is', async () => {
    const torn = await programme.report('deviation', programme.now, FOUND, DESK)
    const { app, authPool } = programme
    await enqueueAlerts({ app, authPool, now: programme.now })
    await programme.report('ruling', programme.now, {
      facts: { on: torn, ruling: 'use', reason: 'taped at once' },
    })
    const wet = await programme.report('deviation', programme.now, FOUND, DESK)
    await enqueueAlerts({ app, authPool, now: programme.now })
    await programme.report('withdrawn', programme.now, { corrects: wet })
    await programme.tick()
    expect(await programme.arrived()).toEqual([])
    await programme.report('deviation', programme.now, { facts: { what: 'the form is wet' } }, DESK)
    await programme.tick()
    const mails = await readByName()
    expect(toLine(mails.get('ada')?.text)).toContain('Found: the form is wet.')
  })

  test('is told when Holdfast learns of it, however long ago it was found', async () => {
    await programme.report('deviation', programme.now - 20 * DAY, FOUND, DESK)
    await programme.tick()
    expect([...(await readByName()).keys()].sort()).toEqual(['ada', 'ann', 'mia'])
    await programme.report('scanned', programme.now)
    await programme.tick()
    expect(await programme.arrived()).toEqual([])
  })

  test('that follows from a receipt is told with the receipt, however long ago the sample was given up', async () => {
    await programme.report('lost', programme.now - 2 * DAY + 2 * HOUR)
    await programme.tick()
    await programme.arrived()
    programme.now += 5 * DAY
    await programme.report('received', programme.now)
    await programme.tick()
    const mails = await readByName()
    expect(toLine(mails.get('ada')?.text)).toContain('Rule on what was found on')
  })

  test('is told once, though an earlier report of it comes later', async () => {
    const condition = { condition: { seal: 'broken' } }
    await programme.report('received', programme.now, { facts: condition }, DESK)
    await programme.tick()
    expect([...(await readByName()).keys()].sort()).toEqual(['ada', 'ann', 'mia'])
    programme.now += HOUR
    await programme.report('received', programme.now - 3 * HOUR, { facts: condition }, DESK)
    await programme.tick()
    expect(await programme.arrived()).toEqual([])
    programme.now += HOUR
    await programme.report(
      'received',
      programme.now,
      { facts: { condition: { seal: 'broken', packaging: 'wet' } } },
      DESK,
    )
    await programme.tick()
    expect([...(await readByName()).keys()].sort()).toEqual(['ada', 'ann', 'mia'])
  })

  test('with others of the same sample makes one line of one mail', async () => {
    for (const what of ['the bag is torn', 'the seal is broken'])
      await programme.report('deviation', programme.now, { facts: { what } }, DESK)
    await programme.tick()
    const mails = await readByName()
    const text = mails.get('ada')?.text ?? ''
    expect(toLine(text)).toMatch(
      /Found: the (bag is torn; the seal is broken|seal is broken; the bag is torn)\./,
    )
    expect(text.match(/^\* /gm)).toHaveLength(1)
    expect(mails.get('ada')?.subject).toContain(SUBJECT)
  })
})

test('a sample in question that has arrived is not to be loaded', async () => {
  await programme.choose('des')
  await programme.report('deviation', programme.now, FOUND, DESK)
  await programme.tick()
  await programme.arrived()
  programme.now += MINUTE
  await programme.report('received', programme.now)
  await programme.tick()
  const text = toLine((await office.read())[0]?.text)
  expect(await programme.arrived()).toEqual(formatMails(['des'], 'has arrived'))
  expect(text).toContain('Wait for the ruling on')
  expect(text).toContain('Found: the bag is torn. Do not load it before the programme has ruled.')
})

test('an unfit sample that has arrived is to be kept or discarded by the site’s rules', async () => {
  await programme.choose('des')
  const torn = await programme.report('deviation', programme.now, FOUND, DESK)
  await programme.report('ruling', programme.now, {
    facts: { on: torn, ruling: 'cut again', reason: 'too open' },
  })
  await programme.report('received', programme.now)
  await programme.tick()
  const text = toLine((await office.read())[0]?.text)
  expect(await programme.arrived()).toEqual(formatMails(['des'], 'has arrived'))
  expect(text).toContain('Do not load it: keep or discard it by the site’s rules.')
})
