import type { Reporter, TestCase, TestModule, TestProject, Vitest } from 'vitest/node'

/**
 * Ends a run with the skipped tests and their reasons, the duration of each project, the browser and the seed, and a
 * line of counts.
 */
export default class ClosingReporter implements Reporter {
  #vitest?: Vitest
  /** When the first file of a project began and its last one ended, ms since the epoch. */
  readonly #spans = new Map<TestProject, { from: number; to: number }>()

  onInit(vitest: Vitest) {
    this.#vitest = vitest
  }

  onTestModuleQueued({ project }: TestModule) {
    if (!this.#spans.has(project)) this.#spans.set(project, { from: Date.now(), to: Date.now() })
  }

  onTestModuleEnd({ project }: TestModule) {
    const span = this.#spans.get(project)
    if (span) span.to = Date.now()
  }

  onTestRunEnd(modules: readonly TestModule[], errors: readonly unknown[]) {
    const tests = listTests(modules)
    const count = (state: string) => tests.filter((test) => test.result().state === state).length
    // A file that fails to load, and an error outside of any test, have no test that counts them.
    const broken = modules.filter((module) => module.errors().length > 0).length + errors.length
    const skipped = tests.filter((test) => test.result().state === 'skipped')
    const lines = [
      ...skipped.map((test) => `skipped: ${test.project.name} > ${test.fullName}: ${getSkipReason(test)}`),
      ...[...this.#spans.keys()].map((project) => this.#timeOf(project, modules)),
      ...this.#circumstances(),
      `${count('passed')} passed, ${count('failed') + broken} failed, ${skipped.length} skipped`,
    ]
    // Printed after the other reporters, which write when this turn ends.
    queueMicrotask(() => process.stdout.write(`\n${lines.join('\n')}\n`))
  }

  #timeOf(project: TestProject, modules: readonly TestModule[]): string {
    const own = modules.filter((module) => module.project === project)
    const summedMs = own.reduce((sum, module) => {
      const { prepareDuration, setupDuration, collectDuration, duration } = module.diagnostic()
      return sum + prepareDuration + setupDuration + collectDuration + duration
    }, 0)
    const { from = 0, to = 0 } = this.#spans.get(project) ?? {}
    return `${project.name}: ${own.length} files, ${listTests(own).length} tests, ${toSeconds(to - from)} s (files summed ${toSeconds(summedMs)} s)`
  }

  /** What is needed to reproduce a failure. */
  #circumstances(): string[] {
    const given = this.#vitest?.projects.map((project) => project.getProvidedContext()) ?? []
    const browser = given.find((one) => one.browser)?.browser
    const seed = given.find((one) => one.seed !== undefined)?.seed
    return [
      ...(browser ? [`browser: ${'name' in browser ? browser.name : browser.reason}`] : []),
      `seed: ${seed} (HOLDFAST_SEED=${seed} repeats what was random)`,
    ]
  }
}

const listTests = (modules: readonly TestModule[]) =>
  modules.flatMap((module) => [...module.children.allTests()])

const toSeconds = (ms: number) => Math.round(ms / 1_000)

function getSkipReason(test: TestCase): string {
  const result = test.result()
  return (result.state === 'skipped' && result.note) || 'no reason was given'
}
