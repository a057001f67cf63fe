/** The laboratory's receiving list. */
export const receiving = {
  'receiving.title': 'Receiving',
  'receiving.heading':
    '{count, plural, =0 {Nothing is waiting to be received.} one {{spelled} sample is to be received.} other {{spelled} samples are to be received.}}',
  'receiving.empty':
    'A sample is listed here from its hand-over to the carrier until its receipt is recorded.',
  'receiving.counts':
    '{delivered, plural, =0 {None delivered yet} other {# delivered, as the carrier says}}; {underWay, plural, =0 {none} other {#}} on the way.',
  'receiving.more': '{count, plural, one {# more follows these.} other {# more follow these.}}',
  'receiving.sampleFrom':
    '{plant}{count, plural, =0 {} one {, waybill {waybills}} other {, waybills {waybills}}}',
  'receiving.scan.label': 'Scan a label, or type its code',
  'receiving.scan.submit': 'Tick it',
  'receiving.scan.empty': 'Scan or type the code on a label.',
  'receiving.scan.ticked': '{code} is ticked.',
  'receiving.scan.notListed':
    '{code} is not on this list. Search for it on the board: it may have been received already.',
} as const
