import type { TestProject } from 'vitest/node'
import { type RunningBrowser, startBrowser } from './browserLaunch'

declare module 'vitest' {
  export interface ProvidedContext {
    /** The browser of the run, or why there is none. */
    browser: Pick<RunningBrowser, 'endpoint' | 'name'> | { reason: string }
  }
}

/** One browser for the whole run; `closingReporter` names it. */
export default async function setup(project: TestProject): Promise<(() => Promise<void>) | undefined> {
  const started = await startBrowser()
  if ('reason' in started) {
    project.provide('browser', started)
    return undefined
  }
  const { endpoint, name, stop } = started
  project.provide('browser', { endpoint, name })
  return stop
}
