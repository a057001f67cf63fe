/**
 * Events of one sample, or of one consignment, that one key or person may report. A consignment is followed for sixty days,
 * and a scan each hour of them makes 1,440. A sample is derived in one step, which takes about 10 ms for so many.
 */
export const MAX_REPORTS = 1_500

/**
 * Events of one key or person that may correct the same event. The first takes it out for good; others are read whenever its
 * sample is derived, whichever sample they are of.
 */
export const MAX_CORRECTIONS = 10
