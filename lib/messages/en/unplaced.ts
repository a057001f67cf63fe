/** Events that match no sample, and assigning them to one. */
export const unplaced = {
  'unplaced.title': 'Unmatched events',
  'unplaced.heading.noEvents': 'There are no events yet.',
  'unplaced.heading':
    '{count, plural, =0 {Every event matches a sample.} one {{spelled} event matches no sample.} other {{spelled} events match no sample.}}',
  'unplaced.about':
    'They are kept. Each is matched as soon as its kit is in the register or a hand-over names its waybill; until then it stops no clock. If you know where an event belongs, assign it.',
  'unplaced.newest': 'These are the newest {count, number}.',
  'unplaced.search.label': 'Search these events',
  'unplaced.search.placeholder': 'code, waybill or sender',
  'unplaced.search.submit': 'Search',
  'unplaced.search.none': 'None of them matches this search. <link>Clear it</link> to see all.',
  'unplaced.empty':
    'Nothing is waiting here. An event with a wrong code, or one that comes before its kit, will be shown.',
  'unplaced.event': '{kind} <code>{about}</code>',
  'unplaced.box': 'a box without a readable code',
  'unplaced.waybill': 'waybill {waybill}',
  'unplaced.writtenOnBox': 'on the box: “{text}”',
  'unplaced.time': '{time}.',
  'unplaced.timeAndDetails': '{time}; {details}.',
  'unplaced.reported': 'Reported by <code>{key}</code> as <code>{at}</code>; reached Holdfast {acceptedAt}.',
  'unplaced.likely': 'Perhaps {sample} of {plant}: {why}.',
  'unplaced.noLikelyWaybill': 'No waybill of a hand-over is similar.',
  'unplaced.noLikelyKit': 'No kit in the register is similar.',
  'unplaced.claims.heading': 'Waybills that two makers name',
  'unplaced.claims.about':
    'Each of these hand-overs names a waybill under which another maker’s sample travels. Ask the plant for its waybill. If both do travel together, confirm the hand-over: it is reported again for the programme. If not, correct the wrong one on the page of its sample.',
  'unplaced.claims.sample': '{sample} of {plant}: {why}.',
  'unplaced.claims.summary': 'Confirm the hand-over',
  'unplaced.claims.submit': 'Confirm',
  'unplaced.corrected.heading': 'Corrected since',
  'unplaced.corrected.about': 'They matched no sample and no longer count. There is nothing to do.',
  'unplaced.corrected.event':
    '<out>{kind} <code>{about}</code>, {time}</out>, reported by <code>{key}</code>. Withdrawn or corrected by:',
  'unplaced.corrected.by': '<code>{key}</code> ({kind})',
  'unplaced.corrected.byOfSample': '<code>{key}</code> ({kind} of {sample})',
  'unplaced.assign.summary': 'Assign to a kit',
  'unplaced.assign.consignment':
    'The event is about a consignment: it will count for every sample that travels with the kit you name.',
  'unplaced.assign.kit': '<code>{kit}</code> of {plant}',
  'unplaced.assign.otherKit': 'Or the code of another kit',
  'unplaced.assign.code': 'Code of the kit',
  'unplaced.assign.submit': 'Assign',
} as const
