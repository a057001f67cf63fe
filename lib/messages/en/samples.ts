/** The page of one sample. */
export const samples = {
  'samples.title':
    '{code}, {standing, select, sound {sound} tight {tight} atrisk {at risk} lapsed {lapsed} inquestion {in question} kept {kept} ended {ended} other {unproven}}',
  'samples.notFound.title': 'No such sample',
  'samples.notFound.heading':
    '{isCode, select, yes {No kit has the code {code}.} other {No kit has this code.}}',
  'samples.notFound.headingOwn':
    '{isCode, select, yes {No sample of yours has the code {code}.} other {No sample of yours has this code.}}',
  'samples.notFound.typo':
    'Its check character is wrong, so one character was misread or two were swapped: compare it with the label.',
  'samples.notFound.unknown': 'The code is valid, but the register does not have it. Was the kit entered?',
  'samples.notFound.unknownOwn':
    'The code is valid. If the kit is in front of you, ask the programme’s administrator whose it is.',
  'samples.notFound.otherKind':
    'A kit code has seven characters and a check character. This is something else, perhaps a waybill.',
  'samples.notFound.search': '<link>Search the board for it</link>.',

  'samples.standing.detail': '{hasLimit, select, yes {Limit: {detail}} other {{detail}}}',
  'samples.standing.unproven':
    '<limit>{name}</limit>: {why, select, noStart {its start was not reported} noStop {its stop was not reported} early {it stopped before its least time was over} other {its stop is before its start}}.',
  'samples.standing.noLimit': 'No hold limit applies to it, so there was none to keep.',
  'samples.standing.due': '{isExtended, select, yes {Due by {due}, by extension.} other {Due by {due}.}}',
  'samples.standing.dueTwice':
    '{isExtended, select, yes {Due by {due}, which is {other}, by extension.} other {Due by {due}, which is {other}.}}',
  'samples.standing.now': 'Now: {whereabouts}.',
  'samples.standing.lastKnown': 'Last known: {whereabouts}.',
  'samples.standing.ended':
    '{ending, select, lost {Lost} returned {Returned} rejected {Rejected} cancelled {Cancelled} other {Ended}}: {reason}.',

  'samples.needs.heading': 'What it needs',
  'samples.needs.you': 'You',
  'samples.needs.untilRuling': 'The programme has to rule on what was found first.',
  'samples.needs.keepAtPlant': 'Keep or discard it by the rules of the plant’s site.',
  'samples.needs.keepAtLaboratory': 'Keep or discard it by the rules of the laboratory’s site.',
  'samples.needs.keepOnArrival': 'When it arrives, keep or discard it by the rules of the laboratory’s site.',
  'samples.needs.nothing': 'Nobody has to do anything about it.',
  'samples.needs.retained':
    'It is retained: until it replaces another sample, nobody has to do anything about it.',
  'samples.needs.replaced': 'Nobody has to do anything about it: another kit replaces it.',
  'samples.needs.notOwed':
    'Nobody has to do anything about it: the testing schedule asks for no other sample in its place.',

  'samples.facts.sample':
    '{purpose, select, first {A first sample} duplicate {A duplicate} retained {A retained sample} recollection {A re-collection} fieldblank {A field blank} other {A sample}} of {product, select, unknown {a product not yet known} unnamed {an unknown product ({code})} other {{name} ({code})}}{hasLot, select, yes {, lot {lot}} other {}}, cut at <plant>{plantName}</plant> for {laboratory}.',
  'samples.facts.issued':
    'Its kit was issued {day}{posted, select, notYet { and has not been posted yet} later { and is to be posted {postedDay}} done {, posted {postedDay}} other {}}.',
  'samples.facts.protocol': 'Protocol: {protocol}.',
  'samples.facts.noProtocol': 'No protocol is known for it yet.',
  'samples.facts.travels': 'It travels by {consignments}.',
  'samples.facts.travelled': 'It travelled by {consignments}.',
  'samples.facts.toTravel': 'It is to travel by {service}.',
  'samples.facts.replaces': 'It replaces {sample}.',
  'samples.facts.replacesUnseen': 'It replaces another sample.',
  'samples.facts.replacedBy': 'It is replaced by {sample}.',
  'samples.facts.replacedByUnseen': 'It is replaced by another kit.',

  'samples.warnings.heading': 'Warnings',
  'samples.limits.heading': 'How each limit is counted',
  'samples.limits.none':
    'No hold limit is known for it: its product is not known, or the register has no such product.',
  'samples.asOf': 'As of {time}. Days without a place are the plant’s.',

  'samples.findings.heading': 'What was found',
  'samples.findings.open':
    '{what}, {day}{hasReporter, select, yes {, reported by {reporter}} other {}}. The programme has not ruled on it yet.',
  'samples.findings.ruled':
    '{what}, {day}{hasReporter, select, yes {, reported by {reporter}} other {}}. Ruling: {ruling}{hasReason, select, yes {; {reason}} other {}}.',
  'samples.findings.note':
    '{what}, {day}{hasReporter, select, yes {, reported by {reporter}} other {}}. A note: it needs no ruling.',
  'samples.findings.takenBack':
    '{what}, taken back {day}{hasReporter, select, yes { by {by}} other {}}: {reason}.',
  'samples.findings.noRange':
    'Whether {temperature, number} °C at receipt is right cannot be judged: its protocol does not say which temperatures are. The programme sets that.',
  'samples.findings.rule': 'Rule on it',
  'samples.findings.takeBack': 'Take it back',
  'samples.findings.why': 'Why there was no such fault',
  'samples.findings.submit': 'Take it back',

  'samples.figure.governing': 'governing limit',
  'samples.figure.caption':
    'Each line is one clock, from its start to now (ring), to its stop (square) or to where the sample ended (cross). Small bars are milestones, the dotted upright is each limit. A hill shows when the clock is likely to stop; the part of it past the limit is the chance of missing it.',

  'samples.clock.limit': 'Limit',
  'samples.clock.source': 'Source: {citation}',
  'samples.clock.start': 'Start',
  'samples.clock.calculation': 'Calculation',
  'samples.clock.earliestStop': 'Not before',
  'samples.clock.earliestStopTime':
    '{reading, select, latest {{time}, from the latest reading of its start} other {{time}}}',
  'samples.clock.notExtendable': 'It cannot be extended.',
  'samples.clock.due': 'Due',
  'samples.clock.stop': 'Stop',
  'samples.clock.state': 'State',
  'samples.clock.time':
    '{milestone} {time}{reading, select, earliest { (the earliest reading)} latest { (the latest reading)} other {}}',
  'samples.clock.timeTwice':
    '{milestone} {time}, which is {other}{reading, select, earliest { (the earliest reading)} latest { (the latest reading)} other {}}',
  'samples.clock.dueTwice': '{due}, which is {other}',
  'samples.clock.extended': '<first>{firstDue}</first> extended to {due}.',
  'samples.clock.approvedBy': 'Approved by {name}.',
  'samples.clock.extensionReason': 'Reason: {reason}.',
  'samples.clock.turnsByChance':
    'Tight from a {tight} chance of missing it: {tightAt}. At risk from {atRisk}: {atRiskAt}.',
  'samples.clock.turnsByTime':
    'Tight once {tight} of the time is used: {tightAt}. At risk from {atRisk}: {atRiskAt}.',
  'samples.clock.turnNever': 'not before it is due',
  'samples.clock.turnAlready': 'already',

  'samples.forecast.heading': 'Will it make it?',
  'samples.forecast.risk': '<limit>{name}</limit>: {chance} to miss it.',
  'samples.forecast.riskRange': '<limit>{name}</limit>: {chance} to miss it (uncertainty: {low} to {high}).',
  'samples.forecast.likely': 'Likely {milestone} {days}.',
  'samples.forecast.median': 'It is as likely as not to be {milestone} by {day}.',
  'samples.forecast.needsOpening':
    'No receiving hours are left before it is due: only opening out of hours can save it.',
  'samples.evidence.pooled':
    '{kind, select, plant {{stage}: no data for this plant yet, so the estimate is that of all plants together.} laboratory {{stage}: no data for this laboratory yet, so the estimate is that of all laboratories together.} other {{stage}: no data for this lane yet, so the estimate is that of all lanes together.}}',
  'samples.evidence.service':
    '{stage}: no data for this lane yet, so the estimate is that of its service on all lanes.',
  'samples.evidence.own':
    '{kind, select, plant {{stage}: {count, plural, one {# consignment} other {# consignments}} of this plant; {borrowed, plural, =0 {almost nothing} other {# %}} drawn from other plants.} laboratory {{stage}: {count, plural, one {# consignment} other {# consignments}} of this laboratory; {borrowed, plural, =0 {almost nothing} other {# %}} drawn from other laboratories.} other {{stage}: {count, plural, one {# shipment} other {# shipments}} on this lane; {borrowed, plural, =0 {almost nothing} other {# %}} drawn from other lanes.}}',
  'samples.evidence.ownUncounted':
    '{kind, select, plant {{stage}: data of this plant; {borrowed, plural, =0 {almost nothing} other {# %}} drawn from other plants.} laboratory {{stage}: data of this laboratory; {borrowed, plural, =0 {almost nothing} other {# %}} drawn from other laboratories.} other {{stage}: data of this lane; {borrowed, plural, =0 {almost nothing} other {# %}} drawn from other lanes.}}',
} as const
