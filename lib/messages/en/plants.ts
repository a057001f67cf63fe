/** A plant's page, its settled samples, and when to cut and hand over. */
export const plants = {
  'plants.notFound.title': 'No such plant',
  'plants.notFound.heading': 'No plant has this code.',
  'plants.notFound.headingOwn': 'No plant of yours has this code.',
  'plants.notFound.about':
    '<board>The board</board> lists every plant with a sample under way. All plants are in the <setup>set-up</setup>.',
  'plants.notFound.aboutOwn': '<board>The board</board> lists every plant of yours with a sample under way.',

  'plants.summary.empty': 'No sample of this plant is under way.',
  'plants.summary':
    '{needing, plural, =0 {No sample needs anyone today} one {{spelledNeeding} sample needs someone today} other {{spelledNeeding} samples need someone today}}; {open, plural, one {{spelledOpen} is under way} other {{spelledOpen} are under way}}: {standings}.',
  'plants.maker': 'A plant of {maker}.',
  'plants.laboratories': 'Its samples go to {laboratories}.',
  'plants.open.label': 'Samples under way',
  'plants.stages.heading': 'How long each stage takes',
  'plants.settled.heading': 'Settled',
  'plants.settled.none': 'No sample of this plant is settled yet.',
  'plants.settled.all': 'All settled samples, page by page and as CSV',
  'plants.settled.caption':
    '{total, plural, one {The only settled sample, with how long each stage took} other {All # settled samples, with how long each stage took}}',
  'plants.settled.captionLast':
    'The last {count, number} of {total, number} settled samples, with how long each stage took',
  'plants.settled.sample': 'Sample',
  'plants.settled.standing': 'Standing',
  'plants.settled.settledAt': 'Settled',
  'plants.settled.settledAtBeside': 'settled',

  'plants.handOver.summary':
    '{count, plural, one {{spelled} sample is ready to hand over: record it} other {{spelled} samples are ready to hand over: record it}}',
  'plants.handOver.to': 'to {laboratory}',

  'plants.history.title': 'Settled samples of {plant}',
  'plants.history.about':
    'A sample is settled once its last hold limit has stopped, its report is issued, or it ended early.',
  'plants.history.count':
    '{count, plural, one {{spelled} sample is settled.} other {{spelled} samples are settled.}} Days are those of {place}.',
  'plants.history.ownOnly': 'Only samples that go to your laboratory are shown.',
  'plants.history.underWay': 'Samples under way are on the page of <link>{plant}</link>.',
  'plants.history.csv':
    '<link>{count, plural, one {This sample} other {All # samples}} as CSV</link>, with the time of each milestone in UTC. A cell that a spreadsheet would take for a formula begins there with an apostrophe.',
  'plants.history.pastLast': 'No settled sample is older than that: this is past the last page.',
  'plants.history.captionDay':
    '{count, number} of {total, number} settled samples, settled {day}, with how long each stage took',
  'plants.history.captionDays':
    '{count, number} of {total, number} settled samples, from {from} back to {to}, with how long each stage took',

  'plants.ship.headingCut': 'When to cut and hand over',
  'plants.ship.headingHandOver': 'When to hand over',
  'plants.ship.about': 'To {laboratory}, by the limits of {protocol}',
  'plants.ship.which': 'Which samples',
  'plants.ship.show': 'Show',
  'plants.ship.missed': 'If the carrier is missed',
  'plants.ship.asOf': 'As of {time}, like all times here.',
  'plants.ship.caption':
    'How many of 100 samples {isCut, select, yes {handed over} other {cut that day and handed over}} at each pickup are in time by every limit; brick is the share that is not. Safe is {safe, number} of 100 or more. Each time is that of the pickup.',
  'plants.ship.day': 'Day',
  'plants.ship.anyService': 'Any service',
  'plants.ship.closed': '<unseen>{laboratory}: </unseen>laboratory closed',
  'plants.ship.gone': 'has gone',
  'plants.ship.noPickup': 'no pickup',
  'plants.ship.noData': 'no data yet',
  'plants.ship.best': 'best',
  'plants.ship.lastSafe': 'last safe',
  'plants.ship.soonestSafe': 'soonest safe',
} as const
