import { beforeAll, describe, expect, test } from 'vitest'
import { describeOccasion } from '@/app/digest/mailText'
import { formatKitCode } from '@/lib/custody/kitCode'
import { enqueueAlerts } from '@/lib/digest/alerts/enqueueAlerts'
import { english } from '@/lib/messages/english'
import { listMails } from '@/lib/store/mail/mailStatus'
import { OTHER_KIT } from '@/tests/cases/smallProgramme'
import { createAlertProgramme, DAY, formatMails, MINUTE } from './alertProgramme'
import { type MailServer, startMailServer } from './mailServer'

let office: MailServer
beforeAll(async () => {
  office = await startMailServer()
})

/** A consignment of samples that left a minute ago, and people who chose alerts. */
async function underWay(count: number, names: readonly string[]) {
  const programme = await createAlertProgramme(office, count)
  for (const name of names) await programme.choose(name)
  const report = await programme.dispatchAll()
  await programme.tick()
  programme.now += MINUTE
  const parts = async () => {
    const { rows } = await programme.authPool.query<{ email: string; fates: string }>(
      `select email, string_agg(state || case when part_of is null then '' else ' part' end, ', ' order by part_of nulls first) as fates
       from digest_mail join person on id = person_id where occasion !~ '-W' group by email order by email`,
    )
    return rows.map(({ email, fates }) => `${email.split('@')[0]}: ${fates}`)
  }
  return { programme, report, parts }
}

const mailTo = async (name: string) =>
  (await office.read()).find(({ to }) => [to].flat()[0]?.value[0]?.address === `${name}@test.invalid`)
const codesIn = (text: string | undefined) => new Set(text?.match(/\b[0-9A-Z]{4}-[0-9A-Z]{4}\b/g))

describe('a consignment of eight that is received', () => {
  test('is one mail to each person that names every sample with its page, and nothing later', async () => {
    const { programme, report, parts } = await underWay(8, ['ada', 'ann', 'ben', 'des'])
    await report('received')
    await programme.report('received', programme.now, { sample: OTHER_KIT })
    await Promise.all([programme.tick(), programme.tick()])
    const [ann, ben] = [await mailTo('ann'), await mailTo('ben')]
    for (const kit of programme.kits) {
      expect(ann?.text).toContain(`https://holdfast.example/samples/${kit}`)
      expect(ann?.html).toContain(`https://holdfast.example/samples/${kit}`)
    }
    expect(codesIn(ann?.text)).toEqual(new Set(programme.kits.map(formatKitCode)))
    expect(`${ann?.text}`.replace(/\s+/g, ' ')).toContain(
      '8 samples have arrived. A laboratory received them on Tue 24 November',
    )
    expect(codesIn(ben?.text)).toEqual(new Set([formatKitCode(OTHER_KIT)]))
    expect(await programme.arrived()).toEqual([
      'ada@test.invalid: Holdfast: 9 samples have arrived',
      'ann@test.invalid: Holdfast: 8 samples have arrived',
      `ben@test.invalid: Holdfast: ${formatKitCode(OTHER_KIT)} has arrived`,
      'des@test.invalid: Holdfast: 9 samples have arrived',
    ])
    const withParts = (count: number) => ['sent', ...Array(count).fill('carried part')].join(', ')
    expect(await parts()).toEqual([
      `ada: ${withParts(8)}`,
      `ann: ${withParts(7)}`,
      'ben: sent',
      `des: ${withParts(8)}`,
    ])
    const past = await listMails(programme.authPool, programme.ids.ann as string, {
      isWeekly: false,
      most: 9,
    })
    expect(
      past.map(({ occasion, more, partOf }) => [describeOccasion(english, occasion, more), partOf]),
    ).toEqual([[`Alert: ${formatKitCode([...programme.kits].sort()[0] as string)} and 7 more arrived`, null]])
    programme.now += MINUTE
    await report('conditioned')
    await programme.tick()
    expect(await programme.arrived()).toEqual([])
  })

  test('leaves out samples with an earlier alert, the first among them', async () => {
    const { programme, report } = await underWay(8, ['ann'])
    const inOrder = [...programme.kits].sort()
    await programme.report('received', programme.now, { sample: inOrder[0] })
    await programme.tick()
    expect(await programme.arrived()).toEqual([
      `ann@test.invalid: Holdfast: ${formatKitCode(inOrder[0] as string)} has arrived`,
    ])
    programme.now += MINUTE
    await report('received')
    await programme.tick()
    expect(codesIn((await mailTo('ann'))?.text)).toEqual(new Set(inOrder.slice(1).map(formatKitCode)))
    expect(await programme.arrived()).toEqual(['ann@test.invalid: Holdfast: 7 samples have arrived'])
  })

  test('leaves out samples that were withdrawn before it was sent, the first among them', async () => {
    const { programme } = await underWay(3, ['ann'])
    const [first, ...others] = [...programme.kits].sort() as [string, string, string]
    const received = await programme.report('received', programme.now, { sample: first })
    for (const sample of others) await programme.report('received', programme.now, { sample })
    await enqueueAlerts({ app: programme.app, authPool: programme.authPool, now: programme.now })
    await programme.report('withdrawn', programme.now, { sample: first, corrects: received })
    await programme.tick()
    const [one, other] = others.map(formatKitCode)
    expect(`${(await mailTo('ann'))?.text}`.replace(/\s+/g, ' ')).toContain(
      `${one} and ${other} have arrived. A laboratory received them on`,
    )
    expect(await programme.arrived()).toEqual([
      `ann@test.invalid: Holdfast: ${one} and ${other} have arrived`,
    ])
  })

  test('is one mail to a stand-in too, without repeating their own alerts', async () => {
    const { programme, report, parts } = await underWay(3, ['ann', 'mia'])
    await programme.authPool.query(
      `update digest_preference set stand_in_id = $2, stand_in_from = $3, stand_in_until = $3 where person_id = $1`,
      [programme.ids.ann, programme.ids.mia, new Date(programme.now).toISOString().slice(0, 10)],
    )
    await report('received')
    await programme.tick()
    expect((await mailTo('mia'))?.text).toContain('It is also for ann.')
    expect(await programme.arrived()).toEqual(['mia@test.invalid: Holdfast: 3 samples have arrived'])
    expect(await parts()).toEqual([
      'ann: carried, carried part, carried part',
      'mia: sent, carried part, carried part',
    ])
  })
})

test('samples that lapse together are one mail, apart from what arrives with them, with each reader’s own task', async () => {
  const programme = await createAlertProgramme(office, 3)
  for (const name of ['ada', 'ann', 'des']) await programme.choose(name)
  for (const sample of programme.kits)
    await programme.report('collected', programme.now - 10 * DAY + 2 * MINUTE, { sample })
  await programme.tick()
  await programme.arrived()
  programme.now += 3 * MINUTE
  await programme.report('received', programme.now)
  await programme.tick()
  const lapsedTo = async (name: string) => {
    const mails = (await office.read()).filter(({ subject }) => subject?.includes('lapsed'))
    const found = mails.find(({ to }) => [to].flat()[0]?.value[0]?.address === `${name}@test.invalid`)
    return `${found?.text}`.replace(/\s+/g, ' ')
  }
  const lapsed = await lapsedTo('ann')
  expect(codesIn(lapsed)).toEqual(new Set(programme.kits.map(formatKitCode)))
  expect(lapsed).toContain('3 samples have lapsed. Each of them missed its limit, “cut to chamber”.')
  // A sample that arrives after it lapsed is not to be loaded.
  const late = (await office.read()).filter(({ text }) => text?.includes('has arrived. A laboratory'))
  expect(late.map(({ text }) => `${text}`.replace(/\s+/g, ' ')).join()).toMatch(
    / replace \S+\. Its hold limit has ended\. Do not load it: keep or discard it/,
  )
  const kit = programme.kits[1] as string
  const code = formatKitCode(kit)
  expect(lapsed).toContain(
    `Cut again when the kit to replace ${code} arrives. Do not send it: keep or discard it by the site’s rules. Its limit ended`,
  )
  expect(lapsed).toContain('Before cutting:')
  expect(await lapsedTo('ada')).toContain(`Issue a kit to replace ${code}. Do not send it`)
  expect(await lapsedTo('ada')).toContain(
    `/setup/add/kits?look=yes&plant=PL1&product=FELT&laboratory=LAB&service=road&purpose=re-collection&replaces=${kit} `,
  )
  expect(await lapsedTo('des')).toContain(`See ${code}. Do not send it`)
  for (const name of ['ada', 'des']) expect(await lapsedTo(name)).not.toContain('Before cutting:')
  expect(await programme.arrived()).toEqual(
    ['ada', 'ann', 'des'].flatMap((name) => [
      ...formatMails([name], 'has arrived'),
      `${name}@test.invalid: Holdfast: 3 samples have lapsed`,
    ]),
  )
})

test('more than fifty samples go in several mails, each sample in one of them', async () => {
  const { programme, report } = await underWay(53, ['ann'])
  await report('received')
  await programme.tick()
  const mailedCodes = (await office.read()).flatMap(({ text }) => [...codesIn(text)])
  expect(mailedCodes.sort()).toEqual(programme.kits.map(formatKitCode).sort())
  expect(await programme.arrived()).toEqual([
    'ann@test.invalid: Holdfast: 3 samples have arrived',
    'ann@test.invalid: Holdfast: 50 samples have arrived',
  ])
})
