import { UNRESTRICTED } from '@/lib/custody/event'
import { parseRegister } from '@/lib/custody/parseRegister'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { wire } from '@/tests/cases/smallProgramme'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import type { AssessedDemo } from './assessDemo'

/** A database with a demo programme, and the register that was applied. */
export async function makeDemoDatabase(
  demo: AssessedDemo,
): Promise<{ database: TestDatabase; document: RegisterDocument }> {
  const database = await makeTestDatabase()
  const { document } = parseRegister(JSON.parse(JSON.stringify(demo.register)))
  if (!document) throw new Error('the register is refused')
  await applyRegister(database.app, document, demo.now)
  const events = demo.wire as object[] as Record<string, unknown>[]
  await acceptEvents(database.app, wire(...events), UNRESTRICTED, demo.now)
  return { database, document }
}
