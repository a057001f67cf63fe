import type { ServedProgramme } from '@/tests/setup/sharedServer'

/** The programmes that flow files share, each with what fills its migrated database. */
export const sharedProgrammes = {
  empty: async (_: ServedProgramme) => {},
}

export type SharedProgramme = keyof typeof sharedProgrammes
