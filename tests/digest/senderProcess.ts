import { openMailLine } from '@/lib/digest/mailLine'
import { sendDue } from '@/lib/digest/round'
import type { Step } from '@/lib/digest/sendNext'
import { appPool, doorPool } from '@/lib/store/pool'
import { NOW, SITE } from './programme'

/** A sender as a process of its own, which kills itself with no warning when it reaches a step for the n-th time. */
const [url = '', smtpUrl = '', step, nth = '1'] = process.argv.slice(2)
let left = Number(nth)
const [app, door] = [appPool(url), doorPool(url)]
await sendDue({
  app,
  door,
  site: SITE,
  now: () => NOW,
  openLine: () => openMailLine(smtpUrl),
  senders: 1,
  onStep: async (reached: Step) => {
    if (reached !== step) return
    left -= 1
    if (left === 0) process.kill(process.pid, 'SIGKILL')
  },
})
await Promise.all([app.end(), door.end()])
