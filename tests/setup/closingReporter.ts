import type { Reporter, TestCase, TestModule } from 'vitest/node'

/** Ends a run with what was skipped and why, and one plain line of counts. */
export default class ClosingReporter implements Reporter {
  onTestRunEnd(modules: readonly TestModule[], errors: readonly unknown[]) {
    const tests = modules.flatMap((module) => [...module.children.allTests()])
    const count = (state: string) => tests.filter((test) => test.result().state === state).length
    // A file that can not be loaded, and an error outside of any test, have no test to be counted by.
    const broken = modules.filter((module) => module.errors().length > 0).length + errors.length
    const skipped = tests.filter((test) => test.result().state === 'skipped')
    const lines = skipped.map((test) => `skipped: ${test.project.name} > ${test.fullName}: ${reason(test)}`)
    const counts = `${count('passed')} passed, ${count('failed') + broken} failed, ${skipped.length} skipped`
    // After the reports of the other reporters, which are written when this turn ends.
    queueMicrotask(() => process.stdout.write(`${['', ...lines, counts].join('\n')}\n`))
  }
}

function reason(test: TestCase): string {
  const result = test.result()
  return (result.state === 'skipped' && result.note) || 'no reason was given'
}
