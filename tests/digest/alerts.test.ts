import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { enqueueAlerts } from '@/lib/digest/alerts/enqueueAlerts'
import { pollDueMail } from '@/lib/digest/delivery/pollDueMail'
import { startDelivery } from '@/lib/digest/delivery/startDelivery'
import { KIT, OTHER_KIT } from '@/tests/cases/smallProgramme'
import { createAlertProgramme, DAY, formatMails, HOUR, MINUTE } from './alertProgramme'
import { type MailServer, startMailServer } from './mailServer'
import { createDelivery } from './programme'

let office: MailServer
let programme: Awaited<ReturnType<typeof createAlertProgramme>>
beforeAll(async () => {
  office = await startMailServer()
})
beforeEach(async () => {
  programme = await createAlertProgramme(office)
})

describe('a sample that arrives', () => {
  test('sends one short mail, with a link to its page and one to stop, to each person who chose it', async () => {
    for (const name of ['ann', 'ben', 'des', 'ada']) await programme.choose(name)
    await programme.report('collected', programme.now - DAY)
    await programme.tick()
    programme.now += MINUTE
    await programme.report('received', programme.now)
    await Promise.all([programme.tick(), programme.tick()])
    programme.now += MINUTE
    await programme.report('conditioned', programme.now)
    await programme.tick()
    const [mail] = await office.read()
    expect(await programme.arrived()).toEqual(formatMails(['ada', 'ann', 'des'], 'has arrived'))
    for (const body of [mail?.text, mail?.html]) {
      expect(body).toContain(`https://holdfast.example/samples/${KIT}`)
      expect(`${body}`.replace(/\s+/g, ' ')).toContain('A laboratory received it on')
      expect(`${body}`.replace(/\s+/g, ' ')).toContain('the laboratory and the programme decide')
    }
    const lines = new Map(mail?.headerLines.map(({ key, line }) => [key, line]))
    expect(lines.get('list-unsubscribe')).toMatch(
      /<https:\/\/holdfast\.example\/api\/digest\/stop\?token=[\w.-]+>$/,
    )
    expect(lines.get('list-unsubscribe-post')).toBe('List-Unsubscribe-Post: List-Unsubscribe=One-Click')
    expect(lines.get('list-id')).toBe('List-ID: Holdfast alerts <alerts.holdfast.example>')
  })

  test('with its consignment sends an alert, too', async () => {
    await programme.choose('ann')
    await programme.report('dispatched', programme.now - DAY, { service: 'road', waybill: 'W 1' })
    await programme.tick()
    programme.now += MINUTE
    await programme.report('received', programme.now, { sample: undefined, service: 'road', waybill: 'w1' })
    await programme.tick()
    expect(await programme.arrived()).toEqual(formatMails(['ann'], 'has arrived'))
  })

  test('sends none if it was reported before the choice or two days ago, or was withdrawn meanwhile', async () => {
    await programme.report('collected', programme.now - DAY)
    await programme.tick()
    programme.now += MINUTE
    await programme.report('received', programme.now)
    programme.now += MINUTE
    await programme.choose('ann', programme.now)
    await programme.tick()
    expect(await programme.arrived()).toEqual([])
    await programme.owner.query("update at_once_choice set since_at = since_at - interval '1 day'")
    await programme.owner.query('update at_once_look set event_seq = 0')
    programme.now += 2 * DAY
    await programme.tick()
    expect(await programme.rows()).toEqual([])
    const again = await programme.report('received', programme.now, { sample: OTHER_KIT })
    await programme.owner.query(`update person_role set place = 'PL2' where person_id = $1`, [
      programme.ids.ann,
    ])
    await enqueueAlerts({ app: programme.app, authPool: programme.authPool, now: programme.now })
    await programme.report('withdrawn', programme.now, { sample: OTHER_KIT, corrects: again })
    await programme.tick()
    expect(await programme.arrived()).toEqual([])
    expect(await programme.rows()).toMatchObject([{ state: 'nothing to say' }])
  })
})

describe('a sample that lapses', () => {
  test('sends an alert when its limit ends, and none when it is loaded late', async () => {
    await programme.choose('ann')
    await programme.report('collected', programme.now - 10 * DAY + 2 * MINUTE)
    await programme.tick()
    expect(await programme.arrived()).not.toContainEqual(formatMails(['ann'], 'has lapsed')[0])
    programme.now += 3 * MINUTE
    await Promise.all([1, 2, 3].map(programme.tick))
    programme.now += HOUR
    await programme.report('loaded', programme.now)
    await programme.tick()
    expect(await programme.arrived()).toEqual(formatMails(['ann'], 'has lapsed'))
  })

  test('sends one when that is found out late, unless it lapsed two days ago', async () => {
    await programme.choose('ann')
    await programme.tick()
    programme.now += MINUTE
    const cut = await programme.report('collected', programme.now - 12 * DAY)
    await programme.tick()
    expect(await programme.arrived()).toEqual([])
    await programme.report('collected', programme.now - 11 * DAY, { corrects: cut })
    await programme.tick()
    expect(await programme.arrived()).toEqual(formatMails(['ann'], 'has lapsed'))
  })

  test('sends one even if another mail was composed less than a minute ago, before its limit ended', async () => {
    for (const name of ['ann', 'ben']) await programme.choose(name)
    await programme.report('collected', programme.now - 10 * DAY + 90_000)
    await programme.tick()
    programme.now += MINUTE
    await programme.report('received', programme.now, { sample: OTHER_KIT })
    const delivery = createDelivery(office.url, programme, { now: () => programme.now })
    const lookUntilSent = async (count: number) => {
      await pollDueMail({ ...delivery, now: programme.now })
      await expect
        .poll(async () => (await programme.rows()).map(({ state }) => state), { timeout: 20_000 })
        .toEqual(Array(count).fill('sent'))
    }
    const stop = await startDelivery(delivery)
    try {
      await lookUntilSent(1)
      programme.now += MINUTE - 1
      await lookUntilSent(2)
    } finally {
      await stop()
    }
    expect(await programme.arrived()).toContain(formatMails(['ann'], 'has lapsed')[0])
  })

  test('sends none when history is imported', async () => {
    await programme.choose('ann')
    await programme.tick()
    programme.now += MINUTE
    const reportedAt = new Date(programme.now - 5 * DAY).toISOString()
    await programme.report('collected', programme.now - 20 * DAY, { reportedAt })
    await programme.report('received', programme.now - 8 * DAY, { reportedAt })
    await programme.tick()
    expect(await programme.arrived()).toEqual([])
  })
})

describe('a sample that becomes at risk', () => {
  /** Polls every `every` hours, and lists after how many hours an alert was sent. */
  const hours = async (most: number, until?: string, every = 1) => {
    const found: string[] = []
    for (let hour = 0; hour < most; hour += every) {
      programme.now += every * HOUR
      await programme.tick()
      for (const one of await programme.arrived()) found.push(`${hour} ${one.split(' ').slice(-3).join(' ')}`)
      if (until && found.some((one) => one.endsWith(until))) break
    }
    return found
  }

  test('sends one alert however long it stays at risk, and one when it lapses', async () => {
    await programme.choose('ann')
    await programme.report('collected', programme.now)
    await programme.tick()
    const found = await hours(12 * 24, 'has lapsed', 6)
    expect(found).toHaveLength(2)
    expect(found[0]).toMatch(/is at risk$/)
    expect(found[1]).toMatch(/^240 .*has lapsed$/)
  }, 60_000)

  test('sends another only after a day below', async () => {
    await programme.choose('ann')
    await programme.report('collected', programme.now)
    await programme.tick()
    await hours(12 * 24, 'is at risk', 6)
    await programme.report('received', programme.now)
    const due = (days: number) =>
      programme.report('extended', programme.now, {
        facts: {
          limit: 'cut to chamber',
          until: new Date(programme.now + days * DAY).toISOString(),
          approvedBy: 'office',
          reason: 'test',
        },
      })
    await due(40)
    expect(await hours(20, 'is at risk')).toEqual([expect.stringMatching(/has arrived$/)])
    // Soon enough to be at risk, and not yet lapsed a day later.
    await due(1.4)
    expect(await hours(2)).toEqual([])
    const longer = await due(40)
    await hours(26)
    await programme.report('withdrawn', programme.now, { corrects: longer })
    expect(await hours(2)).toEqual([expect.stringMatching(/^0 .*is at risk$/)])
  }, 60_000)

  test('sends none if nothing polled for two days', async () => {
    await programme.choose('ann')
    await programme.report('collected', programme.now)
    await programme.tick()
    programme.now += 9.5 * DAY
    await programme.tick()
    expect(await programme.arrived()).toEqual([])
    programme.now += MINUTE
    await programme.tick()
    expect(await programme.arrived()).toEqual([])
  })
})
