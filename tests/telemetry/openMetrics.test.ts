import { expect, test } from 'vitest'
import { countIntake, countRequest, type ReadMetric, renderMetrics } from '@/lib/telemetry/metrics'
import { parseOpenMetrics } from './parseOpenMetrics'

test.each([
  ['no end', '# TYPE a gauge\na 1\n'],
  ['a blank line', '# TYPE a gauge\n\na 1\n# EOF\n'],
  ['a counter without its suffix', '# TYPE a counter\na 1\n# EOF\n'],
  ['a negative counter', '# TYPE a counter\na_total -1\n# EOF\n'],
  ['samples that are interleaved', '# TYPE a gauge\na 1\n# TYPE b gauge\nb 1\n# TYPE a gauge\na 2\n# EOF\n'],
  ['the same twice', '# TYPE a gauge\na{b="c"} 1\na{b="c"} 2\n# EOF\n'],
  ['a quote in a label', '# TYPE a gauge\na{b="c"d"} 1\n# EOF\n'],
  [
    'a histogram whose count is another',
    '# TYPE a histogram\na_bucket{le="+Inf"} 1\na_sum 1\na_count 2\n# EOF\n',
  ],
])('the parser of these tests refuses %s', (_, text) => {
  expect(() => parseOpenMetrics(text)).toThrow()
})

test('what is counted is rendered as OpenMetrics, as often as it is asked for', async () => {
  // Other tests of this process count, too.
  const accepted = (families: ReturnType<typeof parseOpenMetrics>) =>
    families.get('holdfast_intake_items')?.samples.find(({ labels }) => labels.result === 'accepted')
      ?.value ?? 0
  const before = accepted(parseOpenMetrics((await renderMetrics([])).text))
  countRequest('GET', '/api/board', 200, 12)
  countRequest('BREW "tea"\n', 'other', null, 40_000)
  countIntake(['accepted', 'accepted', 'refused'])
  const read = (depth: number | null): ReadMetric[] => [
    { name: 'test_depth', help: 'A depth', type: 'gauge', values: { '': depth } },
    { name: 'test_sent', help: 'A count', type: 'counter', values: { '': 7 } },
    { name: 'test_fates', help: 'Fates', type: 'gauge', label: 'fate', values: { 'given up': 2 } },
  ]
  for (const depth of [3, null, 4]) {
    const { text, type } = await renderMetrics(read(depth))
    expect(type).toBe('application/openmetrics-text; version=1.0.0; charset=utf-8')
    const families = parseOpenMetrics(text)
    const value = (family: string, labels: object = {}, name = family) =>
      families
        .get(family)
        ?.samples.find((one) => one.name === name && JSON.stringify(one.labels) === JSON.stringify(labels))
        ?.value
    expect(value('test_depth')).toBe(depth ?? undefined)
    expect(value('test_sent', {}, 'test_sent_total')).toBe(7)
    expect(value('test_fates', { fate: 'given up' })).toBe(2)
    expect(accepted(families) - before).toBe(2)
    const requests = families.get('holdfast_request_duration_seconds')?.samples ?? []
    expect(requests.filter(({ name }) => name.endsWith('_count')).map(({ labels }) => labels)).toContainEqual(
      {
        method: 'GET',
        route: '/api/board',
        status: '2xx',
      },
    )
    expect(requests.map(({ labels }) => labels.method)).toContain('other')
    expect(families.has('nodejs_eventloop_lag_seconds')).toBe(true)
    expect(families.has('process_resident_memory_bytes')).toBe(true)
  }
})
