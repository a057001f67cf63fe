import type { ActKind } from './act'

/** What each act of a test asks for, as a sentence without its end: "load 7KQ2-M94Y". */
export const actOn: Record<ActKind, (what: string) => string> = {
  'post kit': (what) => `post the kit for ${what}`,
  cut: (what) => `cut ${what}`,
  'hand over': (what) => `hand ${what} to the carrier`,
  receive: (what) => (what === 'it' ? 'log its receipt' : `log the receipt of ${what}`),
  load: (what) => `load ${what}`,
  'end test': (what) => (what === 'it' ? 'end its test' : `end the test of ${what}`),
  report: (what) => `issue the report on ${what}`,
}
