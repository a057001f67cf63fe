import { afterAll, beforeAll, expect, test } from 'vitest'
import { STEPS } from '@/lib/digest/sendMail'
import { atOnceProgramme, DAY, told } from './atOnceProgramme'
import { openPostOffice, type PostOffice } from './postOffice'
import { quicken } from './programme'
import { startSender } from './startSender'

let office: PostOffice
beforeAll(async () => {
  office = await openPostOffice()
})
afterAll(() => office.close())

const READERS = ['ada', 'ann', 'des', 'mia']

/** Those at which it matters that something was kept; up to them a mail at once goes as a weekly one does (kills.test.ts). */
const LATER_STEPS = STEPS.slice(STEPS.indexOf('ending'))

test.each(LATER_STEPS)(
  'a turn that is told at once reaches nobody twice when the sender dies at "%s", and all but who is said to be in doubt',
  async (step) => {
    const programme = await atOnceProgramme(office)
    await quicken(programme)
    for (const name of READERS) await programme.choose(name)
    await programme.report('collected', programme.now - DAY)
    await programme.tick()
    await programme.report('received', programme.now)
    const send = (...death: [] | [typeof step, number]) => startSender(programme.url, office.url, ...death)
    expect(await send(step, 2)).toBe('SIGKILL')
    expect(await Promise.all([send(), send()])).toEqual([0, 0])
    const doubtful = (await programme.rows())
      .filter(({ state }) => state === 'uncertain')
      .map(({ email }) => email.split('@')[0] as string)
    expect(doubtful).toHaveLength(['marked', 'answered', 'noted'].includes(step) ? 1 : 0)
    // One that the server had taken when the sender died has arrived, and is in doubt all the same.
    const reached = step === 'marked' ? READERS.filter((name) => !doubtful.includes(name)) : READERS
    expect(await programme.arrived()).toEqual(told(reached, 'has arrived'))
  },
  120_000,
)
