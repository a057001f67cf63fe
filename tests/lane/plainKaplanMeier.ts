/** One subject: the time of its event, or when it was last seen without one. */
export interface Subject {
  time: number
  hasEvent: boolean
}

export interface PlainStep {
  time: number
  atRisk: number
  events: number
  survival: number
  stdErr: number
}

/**
 * The product-limit estimator of Kaplan and Meier (1958) over the distinct times, with Greenwood's standard
 * error, written from their definitions independently of lib/lane. A subject censored at a time was still at
 * risk at it.
 */
export function plainKaplanMeier(subjects: readonly Subject[]): PlainStep[] {
  const times = [...new Set(subjects.map(({ time }) => time))].sort((a, b) => a - b)
  let [survival, sum] = [1, 0]
  return times.map((time) => {
    const atRisk = subjects.filter((subject) => subject.time >= time).length
    const events = subjects.filter((subject) => subject.time === time && subject.hasEvent).length
    survival *= 1 - events / atRisk
    if (events < atRisk) sum += events / (atRisk * (atRisk - events))
    return { time, atRisk, events, survival, stdErr: survival > 0 ? survival * Math.sqrt(sum) : 0 }
  })
}
