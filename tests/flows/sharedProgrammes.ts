import type { ServedProgramme } from '../setup/signIn'
import { fillAttacked } from './attackedProgramme'
import { addHostileEntries } from './everyPageProgramme'

/** The programmes that flow files share, each with what fills its migrated database. */
export const sharedProgrammes = {
  empty: async () => {},
  attacked: ({ database }) => fillAttacked(database),
  everyPage: addHostileEntries,
} satisfies Record<string, (programme: ServedProgramme) => Promise<void>>

export type SharedProgramme = keyof typeof sharedProgrammes
