/** Events and what can be odd about them. The names of events stand in lists, after a colon or in quotes. */
export const custody = {
  'event.produced.label': 'made',
  'event.collected.productMissing': 'This is a spare kit. Choose the product that was cut.',
  'event.collected.label': 'cut',
  'event.sealed.label': 'sealed',
  'event.dispatched.serviceMissing': 'Choose the carrier’s service.',
  'event.dispatched.label': 'handed over',
  'event.delivered.label': 'delivered',
  'event.delivered.action': 'delivered by the carrier',
  'event.received.label': 'received',
  'event.conditioned.label': 'conditioning begun',
  'event.loaded.label': 'in the chamber',
  'event.loaded.action': 'loaded into the chamber',
  'event.reported.label': 'reported',
  'event.reported.action': 'report issued',
  'event.lost.label': 'lost',
  'event.lost.action': 'given up as lost',
  'event.returned.label': 'returned',
  'event.rejected.reasonMissing': 'Say why it was rejected.',
  'event.rejected.label': 'rejected at receipt',
  'event.rejected.action': 'rejected',
  'event.cancelled.label': 'cancelled',
  'event.scanned.label': 'seen on the way',
  'event.held.label': 'held on the way',
  'event.customsCleared.label': 'cleared by customs',
  'event.withdrawn.label': 'report withdrawn',
  'event.extended.limitMissing': 'Choose the limit to extend.',
  'event.extended.untilDateMissing': 'Say until when.',
  'event.extended.label': 'limit extended',
  'event.extended.action': 'extend a limit',
  'event.deviation.whatMissing': 'Say what was found.',
  'event.deviation.label': 'deviation found',
  'event.deviation.action': 'report a deviation',
  'event.ruling.onMissing': 'Tick what you are ruling on.',
  'event.ruling.reasonMissing': 'Say why.',
  'event.ruling.label': 'ruling',
  'event.ruling.action': 'rule on what was found',
  'event.formCopy.label': 'copy of the form',
  'event.replacedBy.label': 'replaced by another kit',

  'finding.reported': '{what}',
  'finding.unspecified': 'not specified',
  'finding.resealed': '{what} (sealed again with number {seal})',
  'finding.wasOpen': '{what} (open for {openFor})',
  'finding.resealedAfter': '{what} (open for {openFor}, sealed again with number {seal})',

  'flag.ahead.detail': '“{event}” is reported for a time still to come. It counts from then on.',
  'flag.loop.detail':
    'This event and others correct each other in a loop, so none of them corrects anything.',
  'flag.order.detail': '“{event}” is dated before “{earlier}”.',
  'flag.beforeKit.detail': '“{event}” is dated before the kit was issued.',
  'flag.elsewhere.detail':
    '“{event}” was reported at {place}, which is neither the kit’s plant nor its laboratory. Days are still counted in the zones of those two.',
  'flag.disagree.detail':
    'Reports of “{event}” disagree on when it happened. Each clock takes the reading that makes the sample look least fresh.',
  'flag.product.kit': '“{event}” names the product {named}, but the kit is for {product}. The kit counts.',
  'flag.product.event':
    '“{event}” names the product {named}, but another report names {product}, which counts.',
  'flag.product.lots': 'Its events name different lots: {lots}.',
  'flag.unknownProduct.detail': 'The register has no product {product}, so no hold limit is known.',
  'flag.notReported.detail':
    '“{event}” was not reported, though a later milestone was. Ask when it happened.',
  'flag.unknownLimit.detail':
    'The extension names the limit “{limit}”, which this sample’s protocol does not have.',
  'flag.notExtendable.detail': 'The limit “{limit}” cannot be extended. The extension changes nothing.',
  'flag.extendedLate.detail':
    'The extension of “{limit}” came after its due. What has lapsed stays lapsed, so the extension changes nothing.',
  'flag.ruling.onNothing':
    'A ruling has no effect: it names nothing that was found on this sample. Record it again, and tick what it is about.',
  'flag.ruling.unclear':
    'A ruling has no effect: it does not say whether to use the sample, to use it with a note or to cut again. Record it again.',

  'kitCode.malformed': '“{code}” is not a kit code: seven characters of 0-9 A-Z and a check character.',
  'kitCode.wrongCheck':
    '“{code}” has a wrong check character: after {seven} comes {check}. Compare it with the label.',

  'time.unreadable': '“{at}” is not a time that can be read.',
  'time.impossible': '“{at}” has an hour, minute or second that no clock shows.',
  'time.unknownZone': '“{zone}” is not a zone of the IANA time zone database.',
  'time.noZone': '“{at}” is a local time, and nothing says where.',
  'time.badOffset': '“{offset}” in “{at}” is not an offset from UTC.',
  'time.contradiction': '“{at}” contradicts its zone: {zone} was at {offset} then.',
  'time.fix.formats':
    'Write an RFC 3339 time such as 2026-10-30T16:10:00+01:00, the same without its offset, or a date.',
  'time.fix.zone': 'Write a name such as Europe/Lisbon.',
  'time.fix.noZone':
    'Add an offset to `{field}`, or a `zone`, or the `place` of a plant or laboratory in the register.',
  'time.fix.offset': 'Write the offset {offset}, or leave out either the offset or the zone.',

  'handTime.date': '“{date}” is not a date. Enter it as 2026-10-30.',
  'handTime.time': '“{time}” is not a time of day. Enter it as 16:10.',
  'handTime.laterToday': 'That time is still to come today. Enter the day on which it happened.',
  'handTime.future': 'That is still to come. Record it once it has happened.',

  'text.nul': 'It holds the character NUL, which cannot be stored.',
  'text.surrogate': 'It holds half of a surrogate pair, which is not valid Unicode.',
  'text.depth': 'It is nested more than {levels, number} levels deep.',

  'extension.noLimit': 'An extension names the limit it extends.',
  'extension.fix.limit': 'Add facts.limit, the name of the limit.',
  'extension.noUntil': 'An extension says until when.',
  'extension.fix.until': 'Add facts.until, a time or a date.',
  'extension.until': 'facts.until: {fault}',
} as const
