/** Milestones, hold limits and their clocks. */
export const hold = {
  // A milestone that is waited for, after “likely” or “to be”.
  'milestone.produced.awaited': 'made',
  'milestone.collected.awaited': 'cut',
  'milestone.sealed.awaited': 'sealed',
  'milestone.dispatched.awaited': 'in the carrier’s hands',
  'milestone.delivered.awaited': 'delivered',
  'milestone.received.awaited': 'received',
  'milestone.conditioned.awaited': 'in conditioning',
  'milestone.loaded.awaited': 'in the chamber',
  'milestone.reported.awaited': 'reported',
  'milestone.produced.sayWhen': 'Say when it was made',
  'milestone.collected.sayWhen': 'Say when it was cut',
  'milestone.sealed.sayWhen': 'Say when it was sealed',
  'milestone.dispatched.sayWhen': 'Say when it was handed over',
  'milestone.delivered.sayWhen': 'Say when it was delivered',
  'milestone.received.sayWhen': 'Say when it was received',
  'milestone.conditioned.sayWhen': 'Say when its conditioning began',
  'milestone.loaded.sayWhen': 'Say when it went into the chamber',
  'milestone.reported.sayWhen': 'Say when it was reported',
  'milestone.produced.askWhen': 'Ask when it was made',
  'milestone.collected.askWhen': 'Ask when it was cut',
  'milestone.sealed.askWhen': 'Ask when it was sealed',
  'milestone.dispatched.askWhen': 'Ask when it was handed over',
  'milestone.delivered.askWhen': 'Ask when it was delivered',
  'milestone.received.askWhen': 'Ask when it was received',
  'milestone.conditioned.askWhen': 'Ask when its conditioning began',
  'milestone.loaded.askWhen': 'Ask when it went into the chamber',
  'milestone.reported.askWhen': 'Ask when it was reported',

  // The stages of a sample, as heads of columns and in sentences about how long they take.
  'stage.issuedToCut': 'kit issued to cut',
  'stage.cutToHandOver': 'cut to hand-over',
  'stage.transit': 'on the way',
  'stage.dockToChamber': 'received to chamber',
  'stage.chamberToReport': 'chamber to report',
  'stage.issued': 'kit issued',
  'stage.other': '{from} to {to}',

  // The state of one clock, in a few words.
  'clock.neverStarted': 'never started',
  'clock.startNotReported': 'its start was not reported',
  'clock.stopNotReported': 'its stop was not reported',
  'clock.notStarted':
    'not started: begins once it {from, select, produced {is made} collected {is cut} sealed {is sealed} dispatched {is in the carrier’s hands} delivered {is delivered} received {is received} conditioned {is in conditioning} loaded {is in the chamber} other {is reported}}',
  'clock.running': 'running: {left} left',
  'clock.resting': 'running: {left} left, and {wait} before it may stop',
  'clock.early': 'early: stopped {wait} too soon',
  'clock.ended': 'ended with the sample',
  'clock.unproven.noStart': 'unproven: its start was not reported',
  'clock.unproven.order': 'unproven: its stop is before its start',
  'clock.kept': 'kept with {spare} to spare',
  'clock.keptByExtension': 'kept with {spare} to spare, by extension',

  // What a limit allows.
  'limit.atMost':
    'At most {allowance} from when {from, select, produced {it was made} collected {it was cut} sealed {it was sealed} dispatched {it was handed over} delivered {it was delivered} received {it was received} conditioned {its conditioning began} loaded {it went into the chamber} other {it was reported}} until it {to, select, produced {is made} collected {is cut} sealed {is sealed} dispatched {is in the carrier’s hands} delivered {is delivered} received {is received} conditioned {is in conditioning} loaded {is in the chamber} other {is reported}}.',
  'limit.between':
    'At least {least} and at most {allowance} from when {from, select, produced {it was made} collected {it was cut} sealed {it was sealed} dispatched {it was handed over} delivered {it was delivered} received {it was received} conditioned {its conditioning began} loaded {it went into the chamber} other {it was reported}} until it {to, select, produced {is made} collected {is cut} sealed {is sealed} dispatched {is in the carrier’s hands} delivered {is delivered} received {is received} conditioned {is in conditioning} loaded {is in the chamber} other {is reported}}.',
  'limit.sameDay.plant':
    'By the end of the day on which {from, select, produced {it was made} collected {it was cut} sealed {it was sealed} dispatched {it was handed over} delivered {it was delivered} received {it was received} conditioned {its conditioning began} loaded {it went into the chamber} other {it was reported}}, by the plant’s calendar, it {to, select, produced {must be made} collected {must be cut} sealed {must be sealed} dispatched {must be in the carrier’s hands} delivered {must be delivered} received {must be received} conditioned {must be in conditioning} loaded {must be in the chamber} other {must be reported}}.',
  'limit.sameDay.laboratory':
    'By the end of the day on which {from, select, produced {it was made} collected {it was cut} sealed {it was sealed} dispatched {it was handed over} delivered {it was delivered} received {it was received} conditioned {its conditioning began} loaded {it went into the chamber} other {it was reported}}, by the laboratory’s calendar, it {to, select, produced {must be made} collected {must be cut} sealed {must be sealed} dispatched {must be in the carrier’s hands} delivered {must be delivered} received {must be received} conditioned {must be in conditioning} loaded {must be in the chamber} other {must be reported}}.',
  'count.hours': '{amount, plural, one {# hour} other {# hours}}',
  'count.days24': '{amount, plural, one {# day} other {# days}} of 24 hours',
  'count.weeks168': '{amount, plural, one {# week} other {# weeks}} of 168 hours',
  'count.days.plant': '{amount, plural, one {# day} other {# days}} of the plant’s calendar',
  'count.weeks.plant': '{amount, plural, one {# week} other {# weeks}} of 7 days of the plant’s calendar',
  'count.months.plant': '{amount, plural, one {# month} other {# months}} of the plant’s calendar',
  'count.days.laboratory': '{amount, plural, one {# day} other {# days}} of the laboratory’s calendar',
  'count.weeks.laboratory':
    '{amount, plural, one {# week} other {# weeks}} of 7 days of the laboratory’s calendar',
  'count.months.laboratory': '{amount, plural, one {# month} other {# months}} of the laboratory’s calendar',
  'count.workingDays.laboratory':
    '{amount, plural, one {# working day} other {# working days}} of the laboratory',

  // How a limit is counted, as a choice in a form.
  'counting.hours.label': 'hours',
  'counting.days24.label': 'days of 24 hours',
  'counting.days.laboratory.label': 'calendar days at the laboratory',
  'counting.days.plant.label': 'calendar days at the plant',
  'counting.weeks168.label': 'weeks of 168 hours',
  'counting.weeks.laboratory.label': 'weeks of 7 calendar days at the laboratory',
  'counting.weeks.plant.label': 'weeks of 7 calendar days at the plant',
  'counting.months.laboratory.label': 'months at the laboratory',
  'counting.months.plant.label': 'months at the plant',
  'counting.workingDays.laboratory.label': 'working days of the laboratory',

  // How a due was worked out: a sum of elapsed time, or a count of local days. {end} is a day.
  'sum.hours': '{start} + {amount, plural, one {# hour} other {# hours}} = {due}',
  'sum.days24': '{start} + {amount, number} × 24 hours = {due}',
  'sum.weeks168': '{start} + {amount, number} × 168 hours = {due}',
  'sum.days':
    '{amount, plural, =0 {{start} is day 0 in {place}; it ends with {end}} other {{start} is day 0 in {place}; day # ends with {end}}}',
  'sum.weeks':
    '{amount, plural, =0 {{start} is day 0 in {place}; it ends with {end}} other {{start} is day 0 in {place}; week # ends with {end}}}',
  'sum.months':
    '{amount, plural, =0 {{start} is in month 0 in {place}; it ends with {end}} other {{start} is in month 0 in {place}; month # ends with {end}}}',
  'sum.dayZero': 'Day 0 is {start} in {place}',
  'sum.firstOpenDay': 'Day 0 is the first open day from {start} in {place}',
  'sum.lastDay': 'Day {amount, number} ends with {end}',
  'sum.closed': 'closed',
  'sum.notOpen': 'not open',
  'sum.clocksForward': '(the clocks there went forward by {by} in between)',
  'sum.clocksBack': '(the clocks there went back by {by} in between)',

  // What is wrong with a limit. Names in quotes are keys of the register document.
  'limit.fault.amount': 'The amount must be a whole number from 0 to {max, number}, not {amount}.',
  'limit.fault.atLeast':
    'The least time must be a whole number from 0 to the amount of the limit, not {atLeast}.',
  'limit.fault.atLeastUnit': 'A limit in {unit} has no least time; leave “atLeast” out.',
  'limit.fault.countingMissing':
    'A limit in {unit} must say how they are counted: “elapsed” (to the instant) or “calendar” (to the end of the local day).',
  'limit.fault.countingSuperfluous': 'A limit in {unit} is counted in only one way; leave “counting” out.',
  'limit.fault.zone': 'A limit in {unit} has no choice of zone; leave “zone” out.',
  'limit.fault.zoneCounting': 'A limit of {counting} {unit} has no choice of zone; leave “zone” out.',
  'limit.fault.sameMilestone': 'A limit runs from one milestone to another one.',

  'holiday.example':
    'Write a name, a colon and the day: “25 December”, “third Monday of January”, “last Monday of May” or “Easter + 1”. Add “, observed” where a holiday on a weekend moves to the Friday before or the Monday after.',
  'preset.compositeWood.note':
    'It holds for every sample under 40 CFR 770.20(a)(1), which is taken before finishing. Days are counted at the plant, from production to the beginning of conditioning; receipt does not stop them, and nobody can extend them. For quality-control samples the plant’s manual must state a maximum time of its own (40 CFR 770.21(a)(1)(iii)): give those samples a protocol with that time.',
  'preset.cdph.where': 'section 2, its table of times',
  'preset.iso16000.where': 'sampling, storage of samples, preparation',
  'preset.en16516.where': 'clause 5',
} as const
