/** Why an event matches no sample, and which kits it may have meant. */
export const unplacedReason = {
  'unplaced.reason.noDispatch': 'No hand-over of a known kit names {service} {waybill} within 60 days of it.',
  'unplaced.reason.noCode': 'Its kit is not known: no code on the box could be read.',
  'unplaced.reason.unknownKit': 'The register has no kit {code}.',
  'unplaced.reason.notAllowed': 'The register has no kit {code}, or none that its reporter may report on.',
  'unplaced.reason.claimed':
    'A sample of {plant} was handed over as {service} {waybill} before. Events of that waybill count for that one only, and whoever reported this sees nothing of it.',
  'unplaced.likely.first': 'it named the waybill first',
  'unplaced.likely.claim': 'this one names it too',
  'unplaced.likely.slip': 'one character off',
  'unplaced.likely.slipSettled': 'one character off, but already settled',
  'unplaced.likely.waybill': 'handed over under {waybill}',
} as const
