import {
  Counter,
  collectDefaultMetrics,
  Gauge,
  Histogram,
  type OpenMetricsContentType,
  Registry,
} from 'prom-client'

/** The metrics of this process. No label holds personal data, or a code of the programme. */
interface Metrics {
  registry: Registry<OpenMetricsContentType>
  requests: Histogram<'method' | 'route' | 'status'>
  intake: Counter<'result'>
}

const shared = globalThis as typeof globalThis & { holdfastMetrics?: Metrics }

/** Upper bounds of the durations, s: a page takes some hundredths, a large body minutes. */
const SECONDS = [0.01, 0.03, 0.1, 0.3, 1, 3, 10, 30, 100]

/** Kept on `globalThis`, because Next may load a module more than once in one process. */
function getMetrics(): Metrics {
  shared.holdfastMetrics ??= makeMetrics()
  return shared.holdfastMetrics
}

function makeMetrics(): Metrics {
  const registry = new Registry<OpenMetricsContentType>()
  registry.setContentType(Registry.OPENMETRICS_CONTENT_TYPE)
  const registers = [registry]
  collectDefaultMetrics({ register: registry })
  return {
    registry,
    requests: new Histogram({
      name: 'holdfast_request_duration_seconds',
      help: 'Requests by route, method and class of status, and how long each took',
      labelNames: ['method', 'route', 'status'],
      buckets: SECONDS,
      registers,
    }),
    intake: new Counter({
      name: 'holdfast_intake_items',
      help: 'Items of bodies of events, by what became of them',
      labelNames: ['result'],
      registers,
    }),
  }
}

/** The methods of RFC 9110 and RFC 5789; any other is `other`, since a client could send a new one each time. */
const METHODS = ['GET', 'HEAD', 'POST', 'PUT', 'DELETE', 'OPTIONS', 'TRACE', 'PATCH', 'CONNECT']

/** Counts an answered request. `route` as `matchRoute` names it; `status` null if the client went away. */
export function countRequest(method: string, route: string, status: number | null, tookMs: number): void {
  const labels = {
    method: METHODS.includes(method) ? method : 'other',
    route,
    status: status === null ? 'cut' : `${Math.floor(status / 100)}xx`,
  }
  getMetrics().requests.observe(labels, tookMs / 1000)
}

/** What becomes of an item: `refused` if it cannot be read or may not be reported. */
export type IntakeResult = 'accepted' | 'already known' | 'unplaced' | 'conflict' | 'refused'

export function countIntake(results: Iterable<IntakeResult>): void {
  const counts = new Map<IntakeResult, number>()
  for (const result of results) counts.set(result, (counts.get(result) ?? 0) + 1)
  for (const [result, count] of counts) getMetrics().intake.inc({ result }, count)
}

/** A metric that is read when the metrics are: one number, or one for each value of its label. */
export interface ReadMetric {
  /** A counter’s name is without `_total`, which the text adds. */
  name: string
  help: string
  type: 'gauge' | 'counter'
  label?: string
  /** By the value of `label`, or under an empty name without one. Null is left out. */
  values: Readonly<Record<string, number | null>>
}

/** The metrics as OpenMetrics text, together with those that were read for this scrape. */
export async function renderMetrics(read: readonly ReadMetric[]): Promise<{ text: string; type: string }> {
  const { registry } = getMetrics()
  const registers = [registry]
  for (const { name, help, type, label, values } of read) {
    registry.removeSingleMetric(name)
    const options = { name, help, labelNames: label ? [label] : [], registers }
    const metric = type === 'gauge' ? new Gauge(options) : new Counter(options)
    const known = Object.entries(values).filter((one): one is [string, number] => one[1] !== null)
    for (const [key, value] of known) metric.inc(label ? { [label]: key } : {}, value)
    // Without a label the library starts with 0, which would be a claim.
    if (known.length === 0) registry.removeSingleMetric(name)
  }
  return { text: await registry.metrics(), type: registry.contentType }
}
