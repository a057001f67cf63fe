/** The lanes: how long they take, and whether they keep their pace. */
export const lanes = {
  'lanes.title': 'Lanes',
  'lanes.steps': '{steps, plural, =0 {the same day} one {# open day} other {# open days}}',
  'lanes.summary.none': 'Nothing has arrived on this lane yet.',
  'lanes.summary.underHalf': 'Fewer than half of the shipments are known to arrive.',
  'lanes.summary.median':
    'Half of the shipments arrive {median, plural, =0 {on the day of hand-over} one {within # open day} other {within # open days}}. Too many never arrive to give a 90th percentile.',
  'lanes.summary.p90':
    'Nine of ten shipments arrive {p90, plural, =0 {on the day of hand-over} one {within # open day} other {within # open days}}.',
  'lanes.summary.both':
    'Half of the shipments arrive {median, plural, =0 {on the day of hand-over} one {within # open day} other {within # open days}}, nine of ten {p90, plural, =0 {on that day} one {within # open day} other {within # open days}}.',

  'lanes.pace.slower':
    'Since {since} this lane takes {halves, plural, =0 {a little} =1 {half a day} =2 {a day} =3 {a day and a half} other {{days, number} days}} longer.',
  'lanes.pace.faster':
    'Since {since} this lane takes {halves, plural, =0 {a little} =1 {half a day} =2 {a day} =3 {a day and a half} other {{days, number} days}} less.',
  'lanes.pace.noneArrived': 'Nothing sent since {since} has arrived.',
  'lanes.pace.steady': 'steady',
  'lanes.pace.tooFew': 'too few to tell: {arrivals, number} of {needed, number} arrivals',
  'lanes.slow.beyondLimit': 'recently slower than its control limit',
  'lanes.slow.nineWeeks': 'slower than usual nine weeks or more in a row',
  'lanes.slow.rising': 'slower week by week',

  'lanes.list.heading.none': 'No shipment yet.',
  'lanes.list.heading.noMatch': 'No lane matches.',
  // {number} and {total} are spelled out up to twelve.
  'lanes.list.heading.slower':
    '{number} of {total} {lanes, plural, one {lane} other {lanes}} {slower, plural, one {has} other {have}} become slower in the last three months.',
  'lanes.list.heading.slow':
    'No lasting slow-down has shown, but {number} of {total} {lanes, plural, one {lane} other {lanes}} {slow, plural, one {looks} other {look}} slow lately.',
  'lanes.list.heading.steady':
    '{lanes, plural, one {This lane keeps its pace.} =2 {Neither lane has become slower in the last three months.} other {None of the {total} lanes has become slower in the last three months.}}',
  'lanes.list.about':
    'A lane is one plant to one laboratory by one carrier service. Its time is counted in the laboratory’s open days after the day of hand-over; what travels under one waybill is one shipment.',
  'lanes.list.noMatch': 'No lane matches the filter. <link>Show all lanes</link>',
  'lanes.list.empty':
    'Nothing has been handed over to a carrier yet. The first sample that is appears here as the first shipment of its lane.',
  'lanes.list.caption':
    'Lanes that became slower in the last three months come first, then those whose latest weeks break a rule on the slow side, then the rest by the share that never arrived.',
  'lanes.filter.plant': 'From',
  'lanes.filter.plant.any': 'Any plant',
  'lanes.filter.laboratory': 'To',
  'lanes.filter.laboratory.any': 'Any laboratory',
  'lanes.filter.service': 'By',
  'lanes.filter.service.any': 'Any service',
  'lanes.filter.show': 'Show',
  'lanes.filter.clear': 'Clear',
  'lanes.column.lane': 'Lane',
  'lanes.column.pace': 'Pace',
  'lanes.column.median': 'Median',
  'lanes.column.p90': '90th percentile',
  'lanes.column.bars': 'Arrivals by open day, as a picture',
  'lanes.column.never': 'Never arrived',
  'lanes.column.shipments': 'Shipments',
  'lanes.name': '{plant} to {laboratory}',
  'lanes.noService': 'no service named',
  'lanes.noneArrived': 'none arrived yet',
  'lanes.never.none': 'none',
  'lanes.mostlyBorrowed': 'times mostly from other lanes',
  'lanes.turnaround.heading': 'How long each part of the way takes',
  'lanes.turnaround.all':
    'Samples you may see whose kits were issued in the last twelve months, by any service',
  'lanes.turnaround.plant':
    'Samples from {plant} whose kits were issued in the last twelve months, by any service',
  'lanes.turnaround.laboratory':
    'Samples to {laboratory} whose kits were issued in the last twelve months, by any service',
  'lanes.turnaround.both':
    'Samples from {plant} to {laboratory} whose kits were issued in the last twelve months, by any service',
  'lanes.accuracy': '<link>Forecast accuracy</link> compares past forecasts with plain rules.',

  'lanes.one.asOf': '<link>Lanes</link>, as of {time}',
  'lanes.one.by': 'by {service}',
  'lanes.one.byUnnamed': 'by a service that has no name',
  'lanes.one.notFound': 'No such lane',
  'lanes.one.nothingSent': 'Nothing was sent on this lane.',
  'lanes.one.nothingOfYours': 'Nothing of yours was sent on this lane.',
  'lanes.one.see': 'See <link>the lanes</link> by which samples were sent.',
  'lanes.one.seeYours': 'See <link>the lanes</link> by which samples of yours were sent.',
  'lanes.time.heading': 'How long it takes',
  'lanes.time.axis':
    'Open days of {laboratory} after the day of hand-over; 0 is that day. The line is the estimated share that has arrived by the end of the day, the band its 90 % interval.',
  'lanes.time.table': 'Show as a table',
  'lanes.time.counts':
    'The estimate rests on {all, plural, one {# shipment} other {# shipments}}. Under way now: {underWay, number}. Never arrived: {never, number} ({share}).',
  'lanes.time.countsNoneLost':
    'The estimate rests on {all, plural, one {# shipment} other {# shipments}}. Under way now: {underWay, number}. Never arrived: none.',
  'lanes.time.ownOnly': 'It uses no other lanes, because fewer than three other makers send by this service.',
  'lanes.time.nearlyAllBorrowed':
    'Nearly all of it comes from other lanes, because this one has little data.',
  'lanes.time.borrowed': 'Other lanes of the service and of the programme contribute {share}.',
  'lanes.time.fading':
    'A shipment sent {days, plural, one {# day} other {# days}} ago counts half in the line, and in full in the counts under it.',
  'lanes.shipments.heading': 'Latest shipments',
  'lanes.shipments.caption': 'The latest shipments, newest first',
  'lanes.lost.heading': 'Presumed lost',
  'lanes.lost.about':
    'These have been under way for more than {days, plural, one {# open day} other {# open days}}, and nothing later was reported. They count as never arriving. Record each as lost, or report what became of it.',
  'lanes.shipments.handedOver': 'Handed over',
  'lanes.shipments.received': 'Received',
  'lanes.shipments.took': 'Took',
  'lanes.shipments.samples': 'Samples',
  'lanes.shipments.notYet': 'not yet',
  'lanes.outcome.arrived': 'arrived',
  'lanes.outcome.underWay':
    '{steps, plural, =0 {under way} one {under way, # open day so far} other {under way, # open days so far}}',
  'lanes.outcome.neverArrived': 'never arrived',
  'lanes.outcome.presumedLost': 'presumed lost',
  'lanes.outcome.outOfOrder': 'received before it was handed over: not counted',
  'lanes.outcome.notReported': 'receipt not reported: not counted',

  'lanes.curve.half': 'half',
  'lanes.curve.nineOfTen': 'nine of ten',
  'lanes.curve.all': 'all',
  'lanes.curve.atRisk': 'still on the way when that day began',
  'lanes.curve.arrived': 'arrived on it',
  'lanes.curve.caption': 'By open day after the day of hand-over, with the 90 % interval of the share',
  'lanes.curve.column.day': 'Open day',
  'lanes.curve.column.atRisk': 'On the way when it began',
  'lanes.curve.column.arrived': 'Arrived on it',
  'lanes.curve.column.share': 'Share arrived by its end',
  'lanes.curve.column.interval': '90 % interval',
  'lanes.curve.sameDay': 'the same day',
  'lanes.curve.interval': '{low} to {high}',

  'lanes.pooled.heading': 'How long it takes over the whole programme',
  'lanes.pooled.about':
    'No lane, plant or laboratory is named here, and a figure is shown only where three makers or more stand behind it.',
  'lanes.pooled.withheld': 'Transit is withheld: fewer than three makers have sent anything that arrived.',
  'lanes.pooled.axis':
    'Open days of the laboratory after the day of hand-over, over {shipments, plural, one {# shipment} other {# shipments}}; 0 is that day. The line is the estimated share that has arrived by the end of the day, the band its 90 % interval.',
} as const
