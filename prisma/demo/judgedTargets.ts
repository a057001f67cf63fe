import type { SampleTarget } from './sampleTarget'
import * as atReceipt from './troubles/atReceipt'
import * as beforeReceipt from './troubles/beforeReceipt'
import * as oddOrder from './troubles/oddOrder'

/** One sample for each way in which what was found governs what happens next. */
export const JUDGED_TARGETS: readonly SampleTarget[] = [
  // Faults at receipt.
  {
    stalledAfter: 'received',
    standing: 'sound',
    daysAgo: [3, 9],
    protocol: 'FELT',
    apply: atReceipt.hotAndOpen,
  },
  {
    stalledAfter: 'received',
    standing: 'sound',
    daysAgo: [3, 10],
    protocol: 'PANEL',
    apply: atReceipt.wetButUsed,
  },
  { stalledAfter: 'received', standing: 'sound', daysAgo: [3, 10], apply: atReceipt.tornAndCutAgain },
  {
    stalledAfter: 'received',
    standing: 'sound',
    daysAgo: [3, 7],
    protocol: 'CORK',
    hasRetained: true,
    apply: atReceipt.replacedByRetained,
  },
  { stalledAfter: 'received', standing: 'sound', daysAgo: [3, 9], apply: atReceipt.sealWasIntact },
  {
    stalledAfter: 'received',
    standing: 'sound',
    daysAgo: [3, 9],
    protocol: 'CORK',
    apply: atReceipt.withoutForm,
  },
  { stalledAfter: 'received', standing: 'sound', daysAgo: [3, 9], apply: atReceipt.rejectionTakenBack },

  // Found before.
  { stalledAfter: 'sealed', standing: 'sound', daysAgo: [0, 3], apply: beforeReceipt.resealed },
  { stalledAfter: 'dispatched', standing: 'sound', daysAgo: [1, 6], apply: beforeReceipt.noticedTooLate },
  {
    stalledAfter: 'dispatched',
    standing: 'at risk',
    daysAgo: [4, 17],
    isHeldByCustoms: true,
    apply: beforeReceipt.heldUntil,
  },
  {
    stalledAfter: 'received',
    standing: 'sound',
    daysAgo: [3, 10],
    protocol: 'CORK',
    apply: beforeReceipt.lostButArrived,
  },

  // What the clocks say.
  {
    stalledAfter: 'dispatched',
    daysAgo: [1, 9],
    protocol: 'FELT',
    mostUsed: 2,
    apply: beforeReceipt.cutByDateAlone,
  },
  {
    stalledAfter: 'received',
    standing: 'sound',
    daysAgo: [3, 9],
    protocol: 'CORK',
    apply: oddOrder.sealedBeforeCut.apply,
  },
  {
    stalledAfter: 'loaded',
    standing: 'sound',
    daysAgo: [12, 26],
    protocol: 'PANEL',
    apply: oddOrder.loadedEarly.apply,
  },
  { stalledAfter: 'loaded', standing: 'lapsed', daysAgo: [17, 30], protocol: 'PANEL', mostUsed: 2 },
  {
    stalledAfter: 'sealed',
    standing: 'lapsed',
    daysAgo: [19, 30],
    protocol: 'CORK',
    purpose: 'retained',
    mostUsed: 2,
  },
]
