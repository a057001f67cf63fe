import type pg from 'pg'
import { UNRESTRICTED } from '@/lib/custody/event'
import { parseRegister } from '@/lib/custody/parseRegister'
import { buildAnswer } from '@/lib/intake/answers/answer'
import { readEvents } from '@/lib/intake/formats/readEvents'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { scoreDueSamples } from '@/lib/store/projection/scoring'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { saveOffice } from '@/lib/store/register/office'
import { markAsDemo } from '@/lib/store/scope/appMetadata'
import { COMMAND } from '@/lib/store/scope/audit'
import { generateDemoProgramme } from './demoProgramme'

const SEED = 20_261_125
const BATCH = 10_000
const OFFICE = { zone: 'Europe/Warsaw', weekdays: [1, 2, 3, 4, 5], closed: [] }

/**
 * Loads the demo programme, relative to `now` (ms UTC), into an empty database, through the same code as events over
 * HTTP, and marks the database as a demo once complete. Errors: Error if the demo's own register or events are refused,
 * which is a bug.
 */
export async function loadDemo(
  pool: pg.Pool,
  now: number,
  report: (text: string) => void = () => {},
): Promise<void> {
  const { register, events } = generateDemoProgramme(now, SEED)
  const { document, problems } = parseRegister(register)
  if (!document) throw new Error(`The demo register is refused: ${JSON.stringify(problems.slice(0, 3))}`)
  const { change, refusals } = await applyRegister(pool, document, now)
  if (!change) throw new Error(`The demo register is refused: ${JSON.stringify(refusals)}`)
  report(`${document.plants.length} plants, ${document.kits.length} kits`)
  for (let start = 0; start < events.length; start += BATCH) {
    const body = events
      .slice(start, start + BATCH)
      .map((event) => JSON.stringify(event))
      .join('\n')
    const results = await acceptEvents(
      pool,
      (current) => readEvents(body, 'ndjson', (code) => current.getZone(code)),
      UNRESTRICTED,
      now,
    )
    const refused = buildAnswer(results).items.filter((item) => item.result === 'refused')
    if (refused.length > 0)
      throw new Error(`The demo has refused events: ${JSON.stringify(refused.slice(0, 3))}`)
    report(`${Math.min(start + BATCH, events.length)} of ${events.length} events`)
  }
  await saveOffice(pool, OFFICE, COMMAND, now)
  await markAsDemo(pool, now)
  report(`${await scoreDueSamples(pool, now)} forecasts`)
}
