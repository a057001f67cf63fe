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
  'receiving.scan.hint':
    'Scan a label a second time to note the condition of its box. When all are ticked, press Enter in the empty field, and once more to record.',
  'receiving.scan.empty': 'Scan or type the code on a label.',
  'receiving.scan.ticked': '{code} is ticked. Scan it again to note its condition.',
  'receiving.scan.opened': 'The condition of {code} is open. Press Enter when you have answered.',
  'receiving.scan.notListed':
    '{code} is not on this list. It stands below the list, and is received with the others. Scan it again to note its condition.',
  'receiving.scan.received': '{code} is received already, and is left out: {known}',
  'receiving.known': '{product} of {plant}, {whereabouts}; {headline}.',
  'receiving.scan.notAwaited': '{code} is not awaited: {known} It is added below, in case its box has come.',
  'receiving.scan.here': 'Ready for the next label. If you have just scanned one, scan it again.',
  'receiving.scan.ready': 'Press Enter to record.',

  'receiving.condition.open': 'Condition<unseen> of {box}</unseen>',
  'receiving.box.add': 'Box without a code',
  'receiving.box.noCode': 'A box without a readable code',
  'receiving.box.heading': 'Not on this list',
  'receiving.box.about':
    'A kit of yours is recorded as received although nobody reported its hand-over. Any other box is kept until an administrator matches it to a sample.',
  'receiving.box.notListed': 'not on this list',
  'receiving.box.written': 'What is written on it',
  'receiving.box.waybill': 'Waybill number',

  'receiving.forAll.summary': 'The same condition for all',
  'receiving.forAll.confirm':
    'These answers hold for every ticked box. An answer of its own comes before them.',
  'receiving.submit': 'Record as received: all that is ticked',
  'receiving.now':
    'Each is recorded as of now, unless you enter a time. What you do not answer counts as not checked.',

  'receiving.done.box': '{box}{found, select, nothing {.} other {: {what}.}}',
  'receiving.done.act': '{act}.',
  'receiving.done.kept': 'It is kept until an administrator matches it to a sample.',
  'receiving.done.sound': 'Nothing was found wrong.',
  'receiving.done.others':
    '{count, plural, one {Nothing was found wrong with the other one:} other {Nothing was found wrong with the other #:}}',

  'receiving.kept.heading': 'Received without a kit: {count, number}',
  'receiving.kept.about': 'They are kept. An administrator sees them and matches each to its sample.',
  'receiving.kept.match': 'They are kept. Match each to its sample among the <link>unmatched events</link>.',
  'receiving.kept.box': '{box}, {time}{hasDetails, select, yes {: {details}} other {}}.',
} as const
