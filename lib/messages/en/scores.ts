/** How accurate past forecasts were. */
export const scores = {
  'scores.title': 'Forecast accuracy',
  'scores.computing':
    'It is being computed: every forecast of the last half year is made again from what was known then. This page reloads every few seconds.',
  'scores.withheld': 'Withheld: fewer than three makers stand behind the forecasts of the last half year.',
  'scores.none':
    'Nothing can be scored yet. A forecast is scored a week after its deadline, so that late reports have come, and only if there was data to forecast from when it was made.',
  'scores.noneWithoutData':
    'So far {count, plural, one {# forecast} other {# forecasts}} could not be made because there was no data.',
  'scores.about':
    'As of {time}, over all plants. Each forecast since {since} was made again from only what was known then: once when a hand-over was reported, and at noon of each of the laboratory’s open days after it while the clock ran.',
  'scores.count':
    'That makes {forecasts, plural, one {# forecast} other {# forecasts}} of {consignments, plural, one {# consignment} other {# consignments}}; in {late} of them the sample was late or never arrived.',
  'scores.pooled':
    'A figure is shown only where three makers or more stand behind it; plants that name no maker count as one.',
  'scores.rules.heading': 'Compared with plain rules',
  'scores.rules.brier':
    'The Brier score is the mean squared difference between the chance and the outcome: 0 is perfect, and always saying 50 % gives 0.25. The forecast scores {score}.',
  'scores.rules.brierError':
    'The Brier score is the mean squared difference between the chance and the outcome: 0 is perfect, and always saying 50 % gives 0.25. The forecast scores {score} ± {error}.',
  'scores.rules.all': 'On all forecasts',
  'scores.rules.first':
    'Only the first forecast of each, when its hand-over was reported: {consignments, plural, one {# consignment} other {# consignments}}, {late} late',
  'scores.rules.column.method': 'Method',
  'scores.rules.column.score': 'Brier score',
  'scores.rules.column.nearer': 'More accurate',
  'scores.rules.forecast': 'The forecast',
  'scores.rule.shareOfAll': 'Share late of all',
  'scores.rule.shareOfLane': 'Share late of the lane',
  'scores.rule.shareOfLaneNotYet': 'Share late among the lane’s samples that had got as far by the same day',
  'scores.rule.shareOfServiceNotYet':
    'Share late among the service’s samples that had got as far by the same day',
  'scores.rule.overMedian': 'Late once it takes longer than the median of its lane',
  'scores.nearer.neither': 'Neither',
  'scores.nearer.forecast':
    'The forecast, by {percent}, {certainty, select, beyond {beyond chance} other {within chance}}',
  'scores.nearer.rule':
    'The plain rule, by {percent}, {certainty, select, beyond {beyond chance} other {within chance}}',
  'scores.reliability.heading': 'Forecast and outcome',
  'scores.reliability.about':
    'When the forecast gives a chance of 20 % to be late, one sample in five should be late. Marks on the dotted line are exactly right; bars show the 90 % interval of the share. Hollow marks are off.',
  'scores.reliability.label': 'The figures of the picture',
  'scores.reliability.picture':
    'Forecast chance against the share that was late; the table has the same figures',
  'scores.reliability.caption': 'Forecasts by the chance they gave',
  'scores.reliability.column.forecast': 'Mean chance forecast',
  'scores.reliability.column.late': 'Share late',
  'scores.reliability.column.interval': '90 % interval',
  'scores.reliability.column.forecasts': 'Forecasts',
  'scores.reliability.column.consignments': 'Consignments',
  'scores.reliability.moreLate': 'more were late than forecast',
  'scores.reliability.fewerLate': 'fewer were late than forecast',
  'scores.reliability.interval': '{low} to {high}',
  'scores.reliability.axis.chance': 'forecast chance to be late',
  'scores.reliability.axis.share': 'share that was late',
  'scores.lanes.heading': 'Lane by lane',
  'scores.lanes.label': 'Scores lane by lane',
  'scores.lanes.caption':
    'Each lane, with the plain rule that was most accurate on it. Either may win by luck if consignments are few; such results are marked “within chance”.',
  'scores.lanes.column.lane': 'Lane',
  'scores.lanes.column.consignments': 'Consignments',
  'scores.lanes.column.late': 'Late',
  'scores.lanes.column.forecast': 'Forecast’s score',
  'scores.lanes.column.rule': 'Best plain rule’s score',
  'scores.lanes.column.result': 'Result',
  'scores.lanes.noService': 'service not named',
  'scores.lanes.ruleWins':
    '<mark>The plain rule is more accurate here</mark>, {certainty, select, beyond {beyond chance} other {within chance}}',
  'scores.lanes.forecastWins':
    'The forecast is more accurate, {certainty, select, beyond {beyond chance} other {within chance}}',
  'scores.lanes.even': 'Equally accurate',
  'scores.lanes.against': 'Rule: {rule}',
  'scores.method.heading': 'Method',
  'scores.method.text':
    'The samples of a consignment share one vote at each moment. Shipments that left on one lane in one week may have been held up together, so they count as one in every ±, interval and “beyond chance”, which means by more than two standard errors. The model is fitted anew each Monday. A plain rule learns an outcome at its deadline, reported or not, and uses a wider group where its own has no past. An extended clock is judged by its first deadline; lost and returned samples are late; cancelled ones are left out. An event that was reported more than a week after it happened is taken for imported history, known when it happened.',
  'scores.unscored.heading': 'Not scored, in limits on samples:',
  'scores.unscored.noData':
    '{count, plural, one {# forecast} other {# forecasts}} without data to forecast from',
  'scores.unscored.neverDispatched': '{count, number}: never handed over',
  'scores.unscored.neverStarted': '{count, number}: clock never started',
  'scores.unscored.stoppedBefore': '{count, number}: clock stopped before the hand-over was known',
  'scores.unscored.notPast': '{count, number}: deadline less than a week ago',
  'scores.unscored.rejected': '{count, number}: rejected or cancelled',
  'scores.unscored.stopNotReported': '{count, number}: stop not reported',
} as const
