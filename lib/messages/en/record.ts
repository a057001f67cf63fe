/** Recording events by hand: forms, what was recorded, and what is wrong with what was typed. */
export const record = {
  'record.heading.correct': 'Correct a report',
  'record.heading.next': 'Next',
  'record.heading.other': 'Record',
  'record.kinds.carrier': 'What the carrier says',
  'record.kinds.other': 'Something else happened',
  'record.formCopyOwed':
    'The sample has left, and the copy of its form is still missing. <link>Record that it was sent</link>',
  'record.submit': 'Record: {kind}',
  'record.submitTicked': 'Record for the ticked samples: {kind}',
  'record.submitCorrection': 'Save the correction',
  'record.now': 'It is recorded as of now, unless you enter a time.',
  'record.nowEach': 'Each ticked sample is recorded as of now, unless you enter a time.',
  'record.more.note': 'With a note',
  'record.more.time': 'At another time, or with a note',
  'record.more.timeHint': 'A time without a day means today. A day is enough if you do not know the time.',

  'record.condition.summary': 'Its condition on arrival: seal, packaging, form, temperature',

  'record.withdraw.about': 'Reported: {kind}, {time}. Withdraw it if it did not happen, or correct it below.',
  'record.withdraw.why': 'Why it is withdrawn',
  'record.withdraw.submit': 'Withdraw the report',
  'record.correct.keepsFaults':
    'What was found at this receipt stays, also if it is corrected or withdrawn. If there was no such fault, take it back under <link>What was found</link>.',
  'record.withdraw.keep': 'The first report stays visible, struck through. <link>Leave it as it is</link>.',

  'record.move.summary': 'Move events to another kit',
  'record.move.kit': 'Code of the kit they belong to',
  'record.move.submit': 'Move the events',

  'record.done.one': 'Recorded: {kind}, {time}.',
  'record.done.many': 'Recorded for {about}: {kind}, {time}.',
  'record.done.samples': '{count, plural, one {one sample} other {# samples}}',
  'record.done.boxes':
    '{count, plural, one {one box without a known kit} other {# boxes without a known kit}}',
  'record.done.restored': 'The change is undone: it counts as it was reported before.',
  'record.done.foundStays': 'What was found meanwhile stays until it is taken back with a reason.',
  'record.done.takenOut':
    '{count, plural, one {The report is withdrawn. It stays visible, struck through.} other {# reports are withdrawn. They stay visible, struck through.}}',
  'record.done.faultTakenBack':
    'What was found is taken back. It stays visible under What was found, struck through, with your reason.',
  'record.done.takenOutSince': 'It has been withdrawn since.',
  'record.done.seeDue': 'See <link>what is still due</link>.',
  'record.undo.moved': 'The move was undone.',
  'record.done.undo': '{count, plural, one {Undo} other {Undo all #}}',
  'record.done.changeTime': 'Change the time',
  'record.done.changeOrTakeBack': 'Change it or take it back',

  'record.sample.product':
    '{product, select, unknown {product not yet known} other {{name}}}{hasLot, select, yes {, lot {lot}} other {}}',
  'record.sample.details':
    '{product, select, unknown {product not yet known} other {{name}}}{hasLot, select, yes {, lot {lot}} other {}}, {context}',
  'record.sample.open': 'Open<unseen> {code} in a new tab</unseen>',

  'record.field.product': 'Product',
  'record.field.lot': 'Lot',
  'record.field.service': 'Carrier service',
  'record.field.waybill': 'Waybill number, if it has one',
  'record.field.what': 'What was found',
  'record.field.sealNumber': 'Number on its seal',
  'record.field.openFor': 'How long it was open',
  'record.field.on': 'What is ruled on',
  'record.field.ruling': 'Ruling',
  'record.field.limit': 'Limit',
  'record.field.untilDate': 'Until, in {place}',
  'record.field.untilTime': 'Time; all day if left empty',
  'record.field.by': 'Who holds it and releases it',
  'record.field.kit': 'Code of the kit that replaces it',
  'record.field.reason': 'Why',
  'record.field.note': 'Note',
  'record.field.date': 'Day in {place}',
  'record.field.time': 'Time in {place}',

  'record.choice.none': 'Choose',
  'record.choice.kitProduct': 'As its kit says',
  'record.choice.notChecked': 'not checked',
  'record.ruling.use': 'use',
  'record.ruling.useWithNote': 'use with a note',
  'record.ruling.cutAgain': 'cut again',

  'record.fault.kind': 'Choose what happened.',
  'record.fault.reportedAlready': 'It is reported already. If that report is wrong, correct or withdraw it.',
  'record.fault.ruling': 'Choose a ruling.',
  'record.fault.replacesItself': 'A kit cannot replace itself.',
  'record.fault.early':
    'It is too early: by a least time, “{kind}” may not be before {time}. If it happened all the same, confirm that.',
  'record.fault.restrained': '{restraint} If it happened all the same, confirm that.',
  'record.fault.askedSome':
    'At least one of the ticked samples must not go on now: its page says why. If it happened all the same, confirm that.',
  'record.field.confirm': 'It happened all the same; record it',
  'record.fault.notExtendable': 'This limit cannot be extended.',
  'record.fault.extendedLate': 'The due of this limit has passed. What has lapsed cannot be extended.',
  'record.fault.laboratory': 'Choose the laboratory at which the box is.',
  'record.fault.notTicked': 'You answered for this box, and it is not ticked. Tick it, or clear the answers.',
  'record.fault.unnamedBox':
    'Enter what is written on the box, its waybill or the number on its seal, so that it can be found again.',
  'record.fault.sayForAll': 'Tick that these answers hold for every ticked box, or answer for each box.',
  'record.fault.tickOne': 'Tick at least one sample.',
  'record.fault.tickFewer': 'Tick at most {max, number} samples.',
  'record.fault.notListed':
    'Nothing was recorded: {count, plural, one {{codes} is} other {{codes} are}} no longer on this list. The others are still ticked.',
  'record.fault.takenOutAlready': 'It is withdrawn already.',
  'record.fault.noKit': 'Enter the code of the kit they belong to.',
  'record.fault.sameKit': 'They are on this kit already.',
  'record.fault.unknownKit': 'The register has no kit with this code.',
  'record.fault.notToReport': 'You may not report such an event of that kit. Ask an administrator.',
  'record.fault.tickEvents': 'Tick the events to move. Each must still count.',
  'record.fault.noReason': 'Say why.',
  'record.fault.tooMany':
    'Nothing was recorded: you have recorded {reports, number} events of this sample, or corrected the same one {corrections, number} times. Ask someone else to record it.',
  'record.fault.noConsignment':
    'This kit was not handed over under a waybill, so a report about a consignment cannot be about it. Record the hand-over first.',
} as const
