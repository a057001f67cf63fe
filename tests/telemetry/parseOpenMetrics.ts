/** One line with a value. */
export interface Sample {
  name: string
  labels: Record<string, string>
  value: number
}

/** A family of samples with one name. */
export interface Family {
  name: string
  type: string
  help?: string
  samples: Sample[]
}

/** Suffixes that the samples of each type have: "Suffixes", and the sections on each type. */
const SUFFIXES: Record<string, readonly string[]> = {
  counter: ['_total', '_created'],
  gauge: [''],
  histogram: ['_bucket', '_count', '_sum', '_created'],
  summary: ['', '_count', '_sum', '_created'],
  info: ['_info'],
  stateset: [''],
  unknown: [''],
}
const NAME = '[a-zA-Z_:][a-zA-Z0-9_:]*'
const LABEL = '[a-zA-Z_][a-zA-Z0-9_]*="(?:[^"\\\\\\n]|\\\\["\\\\n])*"'
const METADATA = new RegExp(`^# (TYPE|HELP|UNIT) (${NAME}) (.*)$`)
const SAMPLE = new RegExp(`^(${NAME})(?:\\{(${LABEL}(?:,${LABEL})*)?\\})? (\\S+)(?: [0-9.e+-]+)?$`)
// Case-insensitive, as all of the ABNF.
const VALUE = /^(?:[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:e[+-]?\d+)?|[+-]?inf(?:inity)?|nan)$/i

/**
 * Reads a text by the rules of OpenMetrics 1.0.0 (https://github.com/OpenObservability/OpenMetrics, file
 * specification/OpenMetrics.md, sections "Text Format" and "Metric Types").
 * @throws Error that names the rule and the line which breaks it.
 */
export function parseOpenMetrics(text: string): Map<string, Family> {
  if (!text.endsWith('# EOF\n')) throw new Error('The exposition must end with # EOF and a line feed.')
  const lines = text.split('\n').slice(0, -2)
  const families = new Map<string, Family>()
  const seen = new Set<string>()
  let current: (Family & { isTyped: boolean }) | undefined
  const fail = (rule: string, line: string): never => {
    throw new Error(`${rule} ${line}`)
  }
  for (const line of lines) {
    if (line === '' || line === '# EOF') fail('Neither a blank line nor an early end:', line)
    const [, kind, name = '', rest = ''] = METADATA.exec(line) ?? []
    if (kind) {
      if (current?.name !== name) {
        if (families.has(name)) fail('The lines of a family must not be interleaved:', line)
        current = { name, type: 'unknown', samples: [], isTyped: false }
        families.set(name, current)
      }
      if (current.samples.length > 0) fail('Metadata come before the samples:', line)
      if (kind === 'TYPE') {
        if (current.isTyped || !SUFFIXES[rest]) fail('One known type for a family:', line)
        Object.assign(current, { type: rest, isTyped: true })
      }
      if (kind === 'HELP') {
        if (current.help !== undefined) fail('One help for a family:', line)
        current.help = rest
      }
      continue
    }
    const found = SAMPLE.exec(line)
    if (!found || !current) return fail('Neither metadata nor a sample of a family:', line)
    const [, sampleName = '', labelText = '', valueText = ''] = found
    if (!VALUE.test(valueText)) fail('The value must be a number:', line)
    const family = current
    const suffixes = SUFFIXES[family.type] ?? []
    if (!suffixes.some((suffix) => sampleName === family.name + suffix))
      fail(`A ${family.type} has other suffixes:`, line)
    if (seen.has(`${sampleName}{${labelText}}`)) fail('No two samples with the same labels:', line)
    seen.add(`${sampleName}{${labelText}}`)
    const pairs = [...labelText.matchAll(new RegExp(LABEL, 'g'))].map(([pair]) => {
      const [label = '', ...value] = pair.split('=')
      return [label, value.join('=').slice(1, -1)] as const
    })
    if (new Set(pairs.map(([label]) => label)).size !== pairs.length) fail('A label is named once:', line)
    const value = Number(valueText.replace(/inf(inity)?/i, 'Infinity').replace(/nan/i, 'NaN'))
    if (family.type === 'counter' && !(value >= 0)) fail('A counter is neither negative nor NaN:', line)
    family.samples.push({ name: sampleName, labels: Object.fromEntries(pairs), value })
  }
  for (const family of families.values()) if (family.type === 'histogram') checkHistogram(family)
  return families
}

/** Buckets are cumulative, and the one of +Inf is the count. */
function checkHistogram({ name, samples }: Family): void {
  const groups = new Map<string, Sample[]>()
  for (const sample of samples) {
    const { le: _, ...labels } = sample.labels
    const key = JSON.stringify(Object.entries(labels).sort())
    groups.set(key, [...(groups.get(key) ?? []), sample])
  }
  for (const [key, group] of groups) {
    const buckets = group.filter((one) => one.name === `${name}_bucket`)
    const count = group.find((one) => one.name === `${name}_count`)?.value
    const last = buckets.at(-1)
    if (last?.labels.le !== '+Inf' || last.value !== count)
      throw new Error(`The bucket of +Inf is the count: ${name} ${key}`)
    if (buckets.some(({ value }, index) => value < (buckets[index - 1]?.value ?? 0)))
      throw new Error(`Buckets are cumulative: ${name} ${key}`)
  }
}
