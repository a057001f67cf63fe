/** What someone is to do. `sample` is a kit code, a product, or "it" where the sample stands beside it. */
export const acts = {
  'act.postKit.do': 'Post the kit for {sample}',
  'act.cut.do': '{sample, select, it {Cut it} other {Cut {sample}}}',
  'act.cut.record': 'Cut {sample} and record it',
  'act.cut.ask': '{sample, select, it {Ask the plant to cut it} other {Ask the plant to cut {sample}}}',
  'act.handOver.do': '{sample, select, it {Hand it to the carrier} other {Hand {sample} to the carrier}}',
  'act.handOver.record': 'Hand {sample} to the carrier and record it',
  'act.handOver.ask':
    '{sample, select, it {Ask the plant to hand it to the carrier} other {Ask the plant to hand {sample} to the carrier}}',
  'act.receive.do': '{sample, select, it {Record its receipt} other {Record the receipt of {sample}}}',
  'act.receive.ask':
    '{sample, select, it {Ask the laboratory to record its receipt} other {Ask the laboratory to record the receipt of {sample}}}',
  'act.condition.do':
    '{sample, select, it {Begin its conditioning} other {Begin the conditioning of {sample}}}',
  'act.condition.record': 'Begin the conditioning of {sample} and record it',
  'act.condition.ask':
    '{sample, select, it {Ask the laboratory to begin its conditioning} other {Ask the laboratory to begin the conditioning of {sample}}}',
  'act.load.do': '{sample, select, it {Load it} other {Load {sample}}}',
  'act.load.record': 'Load {sample} and record it',
  'act.load.ask':
    '{sample, select, it {Ask the laboratory to load it} other {Ask the laboratory to load {sample}}}',
  'act.endTest.do': '{sample, select, it {End its test} other {End the test of {sample}}}',
  'act.report.do': '{sample, select, it {Issue the report on it} other {Issue the report on {sample}}}',
  'act.report.record': 'Issue the report on {sample} and record it',
  'act.report.ask':
    '{sample, select, it {Ask the laboratory to issue the report on it} other {Ask the laboratory to issue the report on {sample}}}',
  'act.carrier.do': '{sample, select, it {Ask the carrier about it} other {Ask the carrier about {sample}}}',
  'act.carrier.named': 'Ask the carrier ({carrier})',
  'act.replace.do':
    '{sample, select, it {Issue a kit to replace it} each {Issue a kit to replace each of them} other {Issue a kit to replace {sample}}}',
  'act.cutAgain.do':
    '{sample, select, it {Cut again when the kit to replace it arrives} each {Cut again when the kits to replace them arrive} other {Cut again when the kit to replace {sample} arrives}}',
  'act.askToOpen': 'Ask the laboratory to open',
  'act.openOutOfHours': 'Open out of hours',

  // Several acts of one test that are due on one day.
  'act.joint.cutHandOver': 'Cut {sample} and hand it to the carrier',
  'act.joint.receiveLoad': 'Record the receipt of {sample} and load it',
  'act.joint.loadEndTest': 'Load {sample} and end its test',
  'act.joint.endTestReport': 'End the test of {sample} and issue the report',
  'act.joint.receiveLoadEndTest': 'Record the receipt of {sample}, load it and end its test',
  'act.joint.loadEndTestReport': 'Load {sample}, end its test and issue the report',
  'act.joint.receiveLoadEndTestReport':
    'Record the receipt of {sample}, load it, end its test and issue the report',

  'act.actor.programme': 'the programme',
  'act.actor.programmeHeading': 'The programme',
  'act.product.unnamed': 'a product not named yet',
  'act.sample.detailed': '{sample} ({details})',
  'act.cuttingCaution':
    'Before cutting: sharp blades, moving lines, heavy rolls and natural latex gloves can hurt. Follow the site’s own safety rules; Holdfast does not replace them.',

  'step.cut.because': '{count, plural, one {It has not been cut yet.} other {They have not been cut yet.}}',
  'step.handOver.because':
    '{count, plural, one {It has been cut and has not left.} other {They have been cut and have not left.}}',
  'step.carrier.because': '{count, plural, one {It is under way.} other {They are under way.}}',
  'step.receive.because':
    '{count, plural, one {The carrier says it was delivered.} other {The carrier says they were delivered.}}',
  'step.load.because':
    '{count, plural, one {It has arrived and its test has not begun.} other {They have arrived and their tests have not begun.}}',
  'step.condition.because':
    '{count, plural, one {It has arrived and its conditioning has not begun.} other {They have arrived and their conditioning has not begun.}}',
  'step.report.because': '{count, plural, one {It is being tested.} other {They are being tested.}}',
  'step.opening.laboratory':
    '{count, plural, one {Only an opening out of hours could save it.} other {Only an opening out of hours could save them.}}',
  'step.opening.others':
    '{count, plural, one {Only an opening out of hours could save it: ask the laboratory to open.} other {Only an opening out of hours could save them: ask the laboratory to open.}}',
} as const
