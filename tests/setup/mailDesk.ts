import { type AnswerMail, type MailServer, startMailServer } from '../digest/mailServer'
import { ADMINISTRATOR, addPerson, deleteMails } from '../digest/programme'
import { makeTestDatabase, type TestDatabase } from './database'

/** A database, a mail server, and an administrator who gets the weekly mail. */
export interface MailDesk {
  database: TestDatabase
  office: MailServer
  /** The id of ada@test.invalid. */
  ada: string
}

/** Opens them for a test file; they close with it. */
export async function openMailDesk(atTheEnd?: AnswerMail): Promise<MailDesk> {
  const database = await makeTestDatabase()
  const office = await startMailServer(atTheEnd)
  const ada = await addPerson(database, 'ada@test.invalid', [ADMINISTRATOR])
  return { database, office, ada }
}

/** Forgets every mail, sent or to be sent. */
export async function clearMails({ database, office }: Pick<MailDesk, 'database' | 'office'>): Promise<void> {
  office.taken.splice(0)
  await deleteMails(database)
}
