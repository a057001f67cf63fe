import { beforeAll, expect, test } from 'vitest'
import { formatKitCode } from '@/lib/custody/kitCode'
import { STEPS } from '@/lib/digest/delivery/sendQueuedMail'
import { drawUsual } from '@/tests/setup/drawUsual'
import { createAlertProgramme } from './alertProgramme'
import { type MailServer, startMailServer } from './mailServer'
import { shortenRetries } from './programme'
import { startSender } from './startSender'

let office: MailServer
beforeAll(async () => {
  office = await startMailServer()
})

const READERS = ['ada', 'ann', 'des', 'mia']

/** The steps after which something is saved; before them an alert is sent as a weekly mail is (crashes.test.ts). */
const LATER_STEPS = STEPS.slice(STEPS.indexOf('ending'))

test.each(drawUsual(LATER_STEPS, 2))(
  'alerts about three samples reach nobody twice when the sender dies at "%s", and all but who is said to be in doubt',
  async (step) => {
    const programme = await createAlertProgramme(office, 3)
    await shortenRetries(programme)
    for (const name of READERS) await programme.choose(name)
    const report = await programme.dispatchAll()
    await programme.tick()
    await report('received')
    const send = (...death: [] | [typeof step, number]) => startSender(programme.url, office.url, ...death)
    expect(await send(step, 2)).toBe('SIGKILL')
    expect(await Promise.all([send(), send()])).toEqual([0, 0])
    const doubtful = (await programme.rows())
      .filter(({ state }) => state === 'uncertain')
      .map(({ email }) => email.split('@')[0] as string)
    expect(doubtful).toHaveLength(['marked', 'answered', 'noted'].includes(step) ? 1 : 0)
    // A mail that the server had accepted when the sender died has arrived, but is still in doubt.
    const reached = step === 'marked' ? READERS.filter((name) => !doubtful.includes(name)) : READERS
    const texts = (await office.read()).map(({ text }) => `${text}`)
    for (const kit of programme.kits)
      expect(texts.filter((text) => text.includes(formatKitCode(kit)))).toHaveLength(reached.length)
    expect(await programme.arrived()).toEqual(
      reached.map((name) => `${name}@test.invalid: Holdfast: 3 samples have arrived`),
    )
  },
  120_000,
)
