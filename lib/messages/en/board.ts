/** The board: which samples are under way and which need someone today. */
export const board = {
  'board.title': 'Board · Holdfast',
  // {number} is spelled out up to twelve.
  'board.heading':
    '{count, plural, =0 {No sample needs anyone today.} one {{number} sample needs someone today.} other {{number} samples need someone today.}}',
  'board.heading.none': 'No sample is under way.',
  'board.summary.toReplace':
    '{count, plural, one {# proves nothing any more and must be replaced.} other {# prove nothing any more and must be replaced.}}',
  'board.summary.inQuestion':
    '{count, plural, one {# is in question and waits for a ruling.} other {# are in question and wait for rulings.}}',
  'board.summary.atRisk':
    '{count, plural, one {# is at risk and can still make it.} other {# are at risk and can still make it.}}',
  'board.summary.overdue':
    '{count, plural, one {# has a step that is overdue.} other {# have a step that is overdue.}}',
  'board.summary.ofNoUse':
    '{count, plural, one {# proves nothing any more and needs no replacement: keep or discard it by the site’s rules.} other {# prove nothing any more and need no replacement: keep or discard them by the site’s rules.}}',
  'board.summary.others': 'Also under way: {counts}.',
  'board.summary.all': 'Under way: {counts}.',
  'board.unplaced': '{count, plural, one {# event matches no sample.} other {# events match no sample.}}',
  'board.claims':
    '{count, plural, one {# hand-over names another maker’s waybill.} other {# hand-overs name another maker’s waybill.}}',
  'board.saveFirst': 'Save first: {sample} of {plant}',
  'board.replaceFirst': 'To be replaced: {sample} of {plant}',

  'board.count.toReplace': '{count, number} to be replaced',
  'board.count.unfit': '{count, number} unfit',
  'board.count.inQuestion': '{count, number} in question',
  'board.count.lapsed': '{count, number} lapsed',
  'board.count.atRisk': '{count, number} at risk',
  'board.count.tight': '{count, number} tight',
  'board.count.sound': '{count, number} sound',
  'board.count.toFinish': '{count, number} to be finished',
  'board.count.ofNoUse': '{count, number} of no further use',
  'board.band.none': 'None under way',
  'board.band.allSound': '{count, plural, one {# sound} other {All # sound}}',

  'board.sample.productAndLot': '{product}, lot {lot}',
  'board.sample.lot': 'Lot {lot}',
  'board.sample.unknownProduct': 'Product not known yet',

  'board.filter.search': 'Search',
  'board.filter.searchHint': 'Kit code, waybill, plant or product',
  'board.filter.stage': 'Where it is',
  'board.filter.anyStage': 'Anywhere',
  'board.filter.group': 'How it stands',
  'board.filter.anyGroup': 'Any',
  'board.filter.find': 'Find',
  'board.filter.clear': 'Clear',
  'board.stage.issued': 'Kit issued',
  'board.stage.produced': 'Made',
  'board.stage.collected': 'Cut',
  'board.stage.sealed': 'Sealed',
  'board.stage.dispatched': 'With the carrier',
  'board.stage.delivered': 'Delivered',
  'board.stage.received': 'On the dock',
  'board.stage.conditioned': 'In conditioning',
  'board.stage.loaded': 'In the chamber',
  'board.stage.reported': 'Reported',
  'board.group.toReplace': 'To be replaced',
  'board.group.unfit': 'Unfit',
  'board.group.inQuestion': 'In question',
  'board.group.lapsed': 'Lapsed',
  'board.group.atRisk': 'At risk',
  'board.group.tight': 'Tight',
  'board.group.sound': 'Sound',
  'board.group.toFinish': 'To be finished',
  'board.group.ofNoUse': 'Of no further use',

  'board.loading': 'Loading …',
  'board.showChanges': '{count, plural, one {Show # change} other {Show # changes}}',
  'board.matches.open': '{open, plural, =0 {None under way} other {# under way}}',
  'board.matches.settled':
    '{open, plural, =0 {None under way} other {# under way}}, {settled, number} settled',
  'board.matches.lastSettled':
    '{open, plural, =0 {None under way} other {# under way}}, the last {settled, number} settled',
  'board.notShown':
    '{count, plural, one {# more sample is under way but less urgent. Search or filter to see it.} other {# more samples are under way but less urgent. Search or filter to see them.}}',

  'board.legend':
    'Each line runs from the start of a sample’s most urgent clock to now (the ring); small bars are milestones. The dotted upright is the limit, in the same place for every sample: the nearer the ring, the less time is left; past it, the sample has lapsed. The hill shows when the clock is likely to stop; its part past the limit is the chance of missing it. The limit’s name is in italics. Days are the plant’s.',
  'board.legend.open': 'How to read the lines',
  'board.legend.short':
    'Ring: now. Dotted upright: the limit, named in italics. Small bars: milestones. Hill: when the clock is likely to stop; past the limit, the chance of missing it. Days are the plant’s.',

  'board.empty.filtered':
    'No sample matches this search. <clear>Clear it</clear> to see all that are under way.',
  'board.empty.settled':
    'Every sample is settled: nothing is under way and nothing waits. The search still finds settled samples.',
  'board.empty.setUp':
    'An administrator enters the programme in the <link>set-up</link>. A sample appears here as soon as its kit is issued.',
  'board.start.files':
    'Nothing has been sent yet. Holdfast needs two things: the register (plants, laboratories, protocols with their hold limits, products, kits) and the events reported of each sample. Both can be loaded from files in one go:',
  'board.start.http': 'Any other program can send them over HTTP:',
  'board.start.key':
    'Both ways need a key. An administrator creates it under API keys, or with <code>npm run key</code>: <link>how keys work</link>. Samples appear here as soon as their kits are in the register.',
  'board.fault.search': 'A search has at most {max, number} characters.',
  'board.fault.stage': '“stage” is one of {values}.',
  'board.fault.group': '“group” is one of {values}.',
} as const
