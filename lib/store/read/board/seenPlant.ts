import type { Reader } from '../../projection/reader'
import { headingOf, type PlantHeading } from './board'

/** The plant of a code, as a heading names it; null where the reader's scope lets see no such plant. */
export async function findPlant({ client, register }: Reader, code: string): Promise<PlantHeading | null> {
  // Every plant in sight, whichever was asked for: to look for one would take longer where it is another's.
  const seen = await client.query<{ code: string }>(
    "select distinct code from register_entry where kind = 'plant'",
  )
  const plant = register.plants.get(code)
  return plant && seen.rows.some((row) => row.code === code) ? headingOf(code, plant) : null
}
