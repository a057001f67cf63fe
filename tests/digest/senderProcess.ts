import { writeSync } from 'node:fs'
import { openSmtpTransport } from '@/lib/digest/delivery/mailTransport'
import { pollDueMail } from '@/lib/digest/delivery/pollDueMail'
import type { OnStep } from '@/lib/digest/delivery/sendQueuedMail'
import { openAppPool, openAuthPool } from '@/lib/store/scope/pool'
import { createDelivery, deliverUntil, NOW } from './programme'

/** A sender as a process of its own, which kills itself when it reaches a step for the n-th time. */
const [url = '', smtpUrl = '', step, nth = '1'] = process.argv.slice(2)
let left = Number(nth)
const [app, authPool] = [openAppPool(url), openAuthPool(url)]
await pollDueMail({ app, authPool, now: NOW })
const delivery = createDelivery(
  smtpUrl,
  { app, authPool },
  {
    openTransport: () => openSmtpTransport(smtpUrl),
    onStep: ((reached, { personId }) => {
      // At once, so that the line is there if the next step is never reached.
      writeSync(1, `${reached} ${personId}\n`)
      if (reached !== step) return
      left -= 1
      if (left === 0) process.kill(process.pid, 'SIGKILL')
    }) satisfies OnStep,
  },
)
await deliverUntil(delivery, `not exists (select from digest_mail where state = 'waiting')`)
await Promise.all([app.end(), authPool.end()])
