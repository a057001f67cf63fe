import { expect, test } from 'vitest'
import { resendMail } from '@/lib/store/mail/mailJobs'
import { startMailServer } from '../../digest/mailServer'
import {
  ADMINISTRATOR,
  addPerson,
  createDelivery,
  NOW,
  readMailStates,
  sendDue,
  WEEK,
} from '../../digest/programme'
import { makeTestDatabase } from '../../setup/database'

const ACTOR = { who: 'person boss', name: 'Boss', address: null }

test('an administrator resends a mail in doubt, once however often the button is pressed', async () => {
  const database = await makeTestDatabase()
  const personId = await addPerson(database, 'ada@test.invalid', [ADMINISTRATOR])
  const office = await startMailServer(async (_text, count) =>
    count === 1 ? { isTaken: true, hangsUp: true } : { isTaken: true },
  )
  const send = () => sendDue(createDelivery(office.url, database))
  const again = () => resendMail(database.authPool, { personId, occasion: WEEK }, ACTOR, NOW)
  try {
    await send()
    expect(await readMailStates(database)).toMatchObject([{ state: 'uncertain' }])
    await send()
    expect(office.taken).toHaveLength(1)
    expect((await Promise.all([again(), again(), again()])).sort()).toEqual([false, false, true])
    await send()
    await send()
    expect(office.taken).toHaveLength(2)
    expect(await readMailStates(database)).toMatchObject([{ state: 'sent', tries: 2 }])
    const [first, second] = await office.read()
    expect(second?.messageId).toBe(first?.messageId)
    expect(await again()).toBe(false)
  } finally {
    await office.close()
  }
  const { rows } = await database.owner.query(
    `select who from audit_entry where what = 'had a mail sent again'`,
  )
  expect(rows).toEqual([{ who: 'person boss' }])
})
