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
  'act.replace.withSpare':
    '{sample, select, it {Replace it with the spare kit {kit}} other {Replace {sample} with the spare kit {kit}}}',
  'act.cutAgain.withSpare':
    '{sample, select, it {Cut it again with the spare kit {kit}} other {Cut {sample} again with the spare kit {kit}}}',
  'act.cutAgain.do':
    '{sample, select, it {Cut again when the kit to replace it arrives} each {Cut again when the kits to replace them arrive} other {Cut again when the kit to replace {sample} arrives}}',
  'act.cutAnew.do':
    '{sample, select, it {Cut another one now, if its line still runs} other {Cut another one for {sample} now, if its line still runs}}',
  'act.cutAnew.ask':
    '{sample, select, it {Ask the plant to cut another one now, if its line still runs} other {Ask the plant to cut another one for {sample} now, if its line still runs}}',
  'act.cutAnew.why':
    'Once the line has moved on, it is too late to cut another one. Keep this one at the plant: the programme may still rule that it can be used.',
  'act.openOutOfHours.do':
    '{sample, select, it {Open out of hours for it} other {Open out of hours for {sample}}}',
  'act.openOutOfHours.ask':
    '{sample, select, it {Ask the laboratory to open for it} other {Ask the laboratory to open for {sample}}}',
  'act.rule.do': '{sample, select, it {Rule on what was found} other {Rule on what was found on {sample}}}',
  'act.rule.ask':
    '{sample, select, it {Ask the programme for its ruling} other {Ask the programme for its ruling on {sample}}}',
  'act.rule.why': 'Found: {what}.',
  'act.rule.found': '{what}; {rest}',
  'act.rule.more': '{count, plural, one {and one thing more} other {and # things more}}',
  'act.replace.ask':
    '{sample, select, it {Ask the programme to replace it} other {Ask the programme to replace {sample}}}',
  'act.waitForRuling.do':
    '{sample, select, it {Wait for the ruling} other {Wait for the ruling on {sample}}}',
  'act.inQuestion.doNotSend': 'Do not send it before the programme has ruled.',
  'act.inQuestion.doNotLoad': 'Do not load it before the programme has ruled.',
  'act.inQuestion.holdReport': 'Hold its report until the programme has ruled.',
  'act.unfit.doNotSend': 'Do not send it: keep or discard it by the site’s rules.',
  'act.unfit.doNotLoad': 'Do not load it: keep or discard it by the site’s rules.',
  'act.loadAndHold.do':
    '{sample, select, it {Hold its report, and load it} other {Hold the report on {sample}, and load it}}',
  'act.loadAndHold.record': 'Load {sample}, record it, and hold its report',
  'act.loadAndHold.ask':
    '{sample, select, it {Ask the laboratory to hold its report and load it} other {Ask the laboratory to hold the report on {sample} and load it}}',
  'act.goOn.do':
    '{sample, select, it {Go on with its test, and hold the report} other {Go on with the test of {sample}, and hold the report}}',
  'act.goOn.ask':
    '{sample, select, it {Ask the laboratory to hold its report} other {Ask the laboratory to hold the report on {sample}}}',
  'act.holdReport.do':
    '{sample, select, it {Hold its report and put the dates right} other {Hold the report on {sample} and put its dates right}}',
  'act.holdReport.ask':
    '{sample, select, it {Ask the laboratory to hold its report} other {Ask the laboratory to hold the report on {sample}}}',
  'act.holdReport.why': 'The report is dated before the sample went into the chamber.',
  'act.stopOrGoOn.do':
    '{sample, select, it {Decide whether its test stops or goes on} other {Decide whether the test of {sample} stops or goes on}}',
  'act.stopOrGoOn.ask':
    '{sample, select, it {Ask the laboratory whether its test stops or goes on} other {Ask the laboratory whether the test of {sample} stops or goes on}}',
  'act.review.do':
    '{sample, select, it {Review the certificate and rule on what was found} other {Review the certificate of {sample} and rule on what was found}}',
  'act.review.ask':
    '{sample, select, it {Ask the programme to review the certificate} other {Ask the programme to review the certificate of {sample}}}',
  'act.release.do': '{sample, select, it {Ask for its release} other {Ask for the release of {sample}}}',
  'act.release.why': 'It is held on the way by {by}.',
  'act.release.whyUnknown': 'It is held on the way.',
  'act.giveTime.do': '{sample, select, it {Give the missing time} other {Give the missing time of {sample}}}',
  'act.giveTime.ask':
    '{sample, select, it {Ask for the missing time} other {Ask for the missing time of {sample}}}',
  'act.giveTime.whyHour':
    'Only the day is known, or reports of the time disagree, and the hour decides whether a limit is met. Until it is given, the worst case counts.',
  'act.giveTime.why': 'This time was not reported, though a later step was.',
  'act.post.ask':
    '{sample, select, it {Ask the programme to post its kit} other {Ask the programme to post kit {sample}}}',
  'act.formCopy.ask':
    '{sample, select, it {Ask the plant for a copy of its form} other {Ask the plant for a copy of the form for {sample}}}',

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
  'step.arrive.because':
    '{count, plural, one {It is under way: this is to be done once it arrives.} other {They are under way: this is to be done once they arrive.}}',
  'step.receive.because':
    '{count, plural, one {The carrier says it was delivered.} other {The carrier says they were delivered.}}',
  'step.load.because':
    '{count, plural, one {It has arrived and its test has not begun.} other {They have arrived and their tests have not begun.}}',
  'step.condition.because':
    '{count, plural, one {It has arrived and its conditioning has not begun.} other {They have arrived and their conditioning has not begun.}}',
  'step.report.because': '{count, plural, one {It is being tested.} other {They are being tested.}}',
  'step.opening.laboratory':
    '{count, plural, one {Only an opening out of hours could save it.} other {Only an opening out of hours could save them.}}',
} as const
