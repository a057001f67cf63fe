import { z } from 'zod'
import { sharedDoor } from '../scope/sharedPool'
import { statement } from '../scope/statement'

const NAMES = statement(
  z.object({ reporter: z.string(), name: z.string() }),
  `select 'person ' || id as reporter, name from person where id = any($1)
   union all select 'key ' || id, name from api_key where id = any($2)`,
)

/** The names of those who reported, by "person ID" or "key ID"; one that is not known is left out. */
export async function reporterNames(reporters: Iterable<string | null>): Promise<Map<string, string>> {
  const asked = [...new Set(reporters)].filter((one) => one !== null)
  if (asked.length === 0) return new Map()
  const rows = await NAMES.all(sharedDoor(), [idsOf(asked, 'person '), idsOf(asked, 'key ')])
  return new Map(rows.map(({ reporter, name }) => [reporter, name]))
}

function idsOf(reporters: readonly string[], what: string): string[] {
  return reporters.filter((one) => one.startsWith(what)).map((one) => one.slice(what.length))
}
