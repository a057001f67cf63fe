/** The control chart of a lane, and the rules that its weeks may break. */
export const laneChart = {
  'laneChart.heading': 'Whether it keeps its pace',
  'laneChart.noChanges': 'No lasting change of its pace has shown.',
  'laneChart.falseAlarms':
    'A lane whose pace never changes still shows one change in {shipments, number} shipments by chance.',
  'laneChart.days': 'Days are those of the plant.',
  'laneChart.since': '{count, plural, one {# shipment} other {# shipments}} since then.',
  'laneChart.sinceUnderWay':
    '{count, plural, one {# shipment} other {# shipments}} since then, {underWay, plural, one {# of which has} other {# of which have}} not arrived.',
  'laneChart.needed': 'So far {arrivals, number} of the {needed, number} arrivals needed to detect a change.',
  'laneChart.neededAgain':
    'Since that change, {arrivals, number} of the {needed, number} arrivals needed to detect another.',
  'laneChart.tooFew': 'Too few have arrived to draw control limits.',
  'laneChart.weekly': 'Week by week',
  'laneChart.unbroken': 'No week lies beyond the limits, and no run of weeks breaks a rule.',
  'laneChart.broken':
    '{count, plural, one {One run of weeks breaks a rule:} other {# runs of weeks break a rule:}}',
  'laneChart.break':
    '{rule}{side, select, slower {, slower} faster {, faster} other {}}: handed over from {from} to {to}.',
  'laneChart.weekOf': 'week of {day}',
  'laneChart.about':
    'Each point is a week of hand-overs, or several where a week has fewer than five shipments. Points above the centre were slower than usual; one in 370 lies beyond a limit by chance. Usual means the {count, plural, one {# shipment} other {# shipments}} from {from} to {to}.',
  'laneChart.widened':
    'Weeks differ here by more than chance makes single shipments differ, and the limits are wider for it.',
  'laneChart.caution': 'It is a screen, not a verdict: it says where to ask, not what happened.',
  'laneChart.table': 'The weeks as a table',
  'laneChart.caption': 'By days of hand-over, newest first; a score above 0 is slower than usual',
  'laneChart.column.handedOver': 'Handed over',
  'laneChart.column.shipments': 'Shipments',
  'laneChart.column.median': 'Median',
  'laneChart.column.score': 'Score',
  'laneChart.column.rule': 'Rule broken',
  'laneChart.days.range': '{first} to {last}',
  'laneChart.shipmentsUnderWay': '{count, number}, {underWay, number} under way',
  'laneChart.upper': 'upper limit, slower',
  'laneChart.lower': 'lower limit, faster',

  'laneChart.rule.beyondLimits': 'Beyond the limits',
  'laneChart.rule.nineOnOneSide': 'Nine points or more on one side of the centre',
  'laneChart.rule.sixRisingOrFalling': 'Six points or more that only rise, or only fall',
  'laneChart.rule.fourteenUpAndDown': 'Fourteen points or more that go up and down in turn',
  'laneChart.rule.twoOfThree': 'Two of three points beyond two deviations on one side',
  'laneChart.rule.fourOfFive': 'Four of five points beyond one deviation on one side',
  'laneChart.rule.fifteenClose': 'Fifteen points or more within one deviation of the centre',
  'laneChart.rule.eightClear': 'Eight points or more with none within one deviation of the centre',
} as const
