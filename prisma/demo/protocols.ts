import type { ProtocolEntry } from './registerDocument'

/** Every figure here is invented for the demo. None comes from a standard, and none may be relied on. */
const INVENTED = 'Invented for the demo programme; not a standard.'

export const PROTOCOLS: readonly ProtocolEntry[] = [
  {
    code: 'FELT',
    name: 'Soft floor coverings (demo)',
    condition: { temperature: { min: 5, max: 30 } },
    limits: [
      { name: 'cut to carrier', from: 'collected', to: 'dispatched', amount: 30, unit: 'hours' },
      {
        name: 'cut to chamber',
        from: 'collected',
        to: 'loaded',
        amount: 12,
        unit: 'days',
        counting: 'calendar',
        zone: 'laboratory',
      },
      { name: 'dock to chamber', from: 'received', to: 'loaded', amount: 4, unit: 'working days' },
    ],
  },
  {
    code: 'CORK',
    name: 'Underlay (demo)',
    // Says nothing of temperatures, though its receipts report them: the programme has to be told once.
    limits: [
      {
        name: 'sealed the same day',
        from: 'collected',
        to: 'sealed',
        amount: 0,
        unit: 'days',
        counting: 'calendar',
        zone: 'plant',
      },
      { name: 'on the way', from: 'dispatched', to: 'received', amount: 8, unit: 'working days' },
      {
        name: 'made to chamber',
        from: 'produced',
        to: 'loaded',
        amount: 17,
        unit: 'days',
        counting: 'elapsed',
      },
    ],
  },
  {
    code: 'PANEL',
    name: 'Wall and ceiling panels (demo)',
    // A board may travel in a bag that is not airtight; one without a form is of no known line.
    condition: { temperature: { min: 0, max: 35 }, grades: { airtight: 'note', form: 'hold' } },
    limits: [
      {
        name: 'cut to chamber',
        from: 'collected',
        to: 'loaded',
        amount: 15,
        unit: 'days',
        counting: 'calendar',
        zone: 'plant',
      },
      { name: 'conditioning', from: 'conditioned', to: 'loaded', amount: 168, atLeast: 24, unit: 'hours' },
      { name: 'made to report', from: 'produced', to: 'reported', amount: 2, unit: 'months', zone: 'plant' },
    ],
  },
  {
    code: 'FOAM',
    name: 'Foams (demo)',
    tight: 0.08,
    atRisk: 0.25,
    condition: { temperature: { max: 32 } },
    limits: [
      {
        name: 'cut to chamber',
        from: 'collected',
        to: 'loaded',
        amount: 9,
        unit: 'days',
        counting: 'elapsed',
      },
      { name: 'dock to conditioning', from: 'received', to: 'conditioned', amount: 3, unit: 'working days' },
    ],
  },
].map((protocol) => ({
  ...protocol,
  limits: protocol.limits.map((limit) => ({ ...limit, citation: INVENTED })),
})) as ProtocolEntry[]
