import { lookForDue } from '@/lib/digest/delivery/look'
import { openMailLine } from '@/lib/digest/delivery/mailLine'
import type { Step } from '@/lib/digest/delivery/sendMail'
import { appPool, doorPool } from '@/lib/store/scope/pool'
import { deliverUntil, deliveryTo, NOW } from './programme'

/** A sender as a process of its own, which kills itself with no warning when it reaches a step for the n-th time. */
const [url = '', smtpUrl = '', step, nth = '1'] = process.argv.slice(2)
let left = Number(nth)
const [app, door] = [appPool(url), doorPool(url)]
await lookForDue({ app, door, now: NOW })
const delivery = deliveryTo(
  smtpUrl,
  { app, door },
  {
    openLine: () => openMailLine(smtpUrl),
    onStep: (reached: Step) => {
      if (reached !== step) return
      left -= 1
      if (left === 0) process.kill(process.pid, 'SIGKILL')
    },
  },
)
await deliverUntil(delivery, `not exists (select from digest_mail where state = 'waiting')`)
await Promise.all([app.end(), door.end()])
