/** When to cut and hand over, and the chance to be in time. */
export const ship = {
  'chance.none': 'no chance',
  'chance.under': 'under 1 in 100',
  'chance.over': 'over 99 in 100',
  'chance.inHundred': '{hundredths, number} in 100',
  'chance.perHundred.under': 'under 1',
  'chance.perHundred.over': 'over 99',
  'chance.percent': '{percent, number} %',
  'chance.percent.under': 'under 1 %',
  'chance.percent.over': 'over 99 %',
  'chance.percent.tiny': 'under 0.1 %',
  'chance.arrival.maybeNever': 'may not arrive',
  'chance.arrival.from': 'from {day}, if at all',
  'chance.days': '{first} to {last}',

  'ship.day.today': 'today',
  'ship.day.tomorrow': 'tomorrow',
  'ship.day.same': 'that day',
  'ship.cutTime.now': 'now',
  'ship.cutTime.today':
    '{part, select, morning {this morning} afternoon {this afternoon} other {this evening}}',
  'ship.cutTime.near': '{day} {part, select, morning {morning} afternoon {afternoon} other {evening}}',
  'ship.cutTime.far':
    'on the {part, select, morning {morning} afternoon {afternoon} other {evening}} of {day}',

  'ship.advice.noPickup': 'No pickup is known in the next two weeks.',
  'ship.advice.noData': 'There is no data yet to estimate a chance from. The next pickup is at {time} {day}.',
  'ship.advice.cut': 'Cut {when}.',
  'ship.advice.cutNotDay': 'Cut {when}, not {avoided}.',
  'ship.advice.cutUnsafe': 'No day is safe. The best is to cut {when}.',
  'ship.advice.handItOver':
    'Hand it over by {time} {day}{carrier, select, named {, with {service}} other {}}.',
  'ship.advice.handItOverNotWith':
    'Hand it over by {time} {day}{carrier, select, named {, with {service}} other {}}, not with {avoided}.',
  'ship.advice.handOver': 'Hand over by {time} {day}{carrier, select, named {, with {service}} other {}}.',
  'ship.advice.handOverAnyLater':
    'Hand over by {time} {day}{carrier, select, named {, with {service}} other {}}. Any later pickup in the next two weeks is safe, too.',
  'ship.advice.handOverUnsafe':
    'No pickup is safe any more. The best left is by {time} {day}{carrier, select, named {, with {service}} other {}}.',

  'ship.reason.best':
    'Handed over {when}{carrier, select, named { with {service}} other {}}, {chance} of 100 samples arrive in time.',
  'ship.reason.bestInterval':
    'Handed over {when}{carrier, select, named { with {service}} other {}}, {chance} of 100 samples arrive in time (90 % interval: {low, number} to {high, number}).',
  'ship.reason.avoid':
    'Handed over {when}{carrier, select, named { with {service}} other {}}, only {chance} do.',
  'ship.reason.sooner':
    'An earlier pickup is safe, too: {when}{carrier, select, named { with {service}} other {}}, {chance} of 100.',
  'ship.reason.safeThroughout': 'Every day with a pickup in the next two weeks has a safe one.',
  'ship.reason.lastSafe':
    'The last safe pickup is {when}{carrier, select, named { with {service}} other {}}.',

  'ship.missed.noData':
    'Cut {cut} but picked up only {picked}{carrier, select, named { by {service}} other {}}: no data yet.',
  'ship.missed.tooLate':
    'Cut {cut} but picked up only {picked}{carrier, select, named { by {service}} other {}}: too late. The limit “{limit}” ends {end}, before the carrier comes.',
  'ship.missed.same':
    'Cut {cut} but picked up only {picked}{carrier, select, named { by {service}} other {}}: no difference, {chance} of 100.',
  'ship.missed.chance':
    'Cut {cut} but picked up only {picked}{carrier, select, named { by {service}} other {}}: {chance} of 100.',
  'ship.missed.change':
    'Cut {cut} but picked up only {picked}{carrier, select, named { by {service}} other {}}: {chance} of 100 instead of {before}.',

  'ship.basis.shipments':
    '{count, plural, one {# shipment} other {# shipments}}{carrier, select, named { with {service}} other {}}',
  'ship.basis.own': 'The chances rest on {shipments} from this plant.',
  'ship.basis.none':
    'No shipment from this plant has arrived yet, so its chance is that of other plants, where they have shipped.',
  'ship.basis.noneWith':
    'No shipment from this plant with {services} has arrived yet, so its chance is that of other plants, where they have shipped.',

  'ship.line.cut': 'cut {when}',
  'ship.line.cutNotDay': 'cut {when}, not {avoided}',
  'ship.line.cutNotWith': 'cut {when}, not with {avoided}',
} as const
