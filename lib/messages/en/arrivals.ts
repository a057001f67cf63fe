/** What each laboratory should expect on which day, and what is late. */
export const arrivals = {
  'arrivals.title': 'Arrivals',
  'arrivals.heading.none': 'Nothing is on its way.',
  'arrivals.heading.onlyCut':
    'Nothing is on its way; {count, plural, one {# sample is} other {# samples are}} cut and not yet handed over.',
  'arrivals.heading.onTheWay':
    '{count, plural, one {# sample is on its way} other {# samples are on their way}}{cut, plural, =0 {} one {, # more is cut} other {, # more are cut}}; {late, plural, =0 {none is late} one {# is late} other {# are late}}.',
  'arrivals.laboratory.time': 'It is {time}.',
  'arrivals.laboratory.expected': 'Expected on {day}: {samples}.',
  'arrivals.laboratory.unpredicted':
    '{count, plural, one {# more sample is on its way; no past shipment tells when it will arrive.} other {# more samples are on their way; no past shipment tells when they will arrive.}}',
  'arrivals.range.none': 'no samples',
  'arrivals.range.exact': '{count, plural, one {# sample} other {# samples}}',
  'arrivals.range.upTo': 'up to {count, plural, one {# sample} other {# samples}}',
  'arrivals.range.between': '{low, number} to {high, plural, one {# sample} other {# samples}}',
  'arrivals.empty':
    'A sample appears here from its cut until the laboratory receives it, once past shipments of its plant, lane or service tell when to expect it.',

  'arrivals.table.caption':
    'Chances, out of 100, that a consignment arrives on each of the laboratory’s days. “Expected” is the range into which 8 of 10 such days fall.',
  'arrivals.table.consignment': 'Consignment',
  'arrivals.table.likely': 'Likely',
  'arrivals.table.alreadyThere': 'Already there',
  'arrivals.table.expected': 'Expected',
  'arrivals.table.moreSamples': '{sample} <more>and {count, number} more</more>',
  'arrivals.table.notHandedOver': 'not yet handed over',
  'arrivals.table.delivered': 'delivered, not yet received',

  'arrivals.late.label': 'Later than usual on their lanes',
  'arrivals.late.handedOver':
    '{samples} of {plant}: handed over {handedOver}; 95 of 100 such shipments arrive by {day}.',
  'arrivals.late.noHandOver': '{samples} of {plant}: 95 of 100 such shipments arrive by {day}.',
  'arrivals.inQuestion':
    '{total, plural, one {in question} other {{count, number} in question}}{isHeld, select, yes {: do not load before the ruling} other {}}',
  'arrivals.late.risk':
    '{count, plural, one {The chance of missing its limit is {chance}.} other {The highest chance of missing a limit is {chance}.}}',
} as const
