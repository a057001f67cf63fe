import type { ServiceEntry } from './registerDocument'

export const SERVICES: readonly ServiceEntry[] = [
  { code: 'road', name: 'Road freight' },
  { code: 'ground', name: 'Parcel ground' },
  { code: 'air', name: 'Air express' },
  { code: 'courier', name: 'Direct courier' },
]

/** One plant to one laboratory by one carrier service, with its true behaviour. */
export interface DemoLane {
  plant: string
  laboratory: string
  service: string
  /** Its share of the plant's consignments. */
  share: number
  /** Chances of arriving 0, 1, 2 ... of the laboratory's open days after dispatch. */
  pace: readonly number[]
  /** Dispatches of the last so many days take one open day more. */
  slowerForDays?: number
  /** In use for the last so many days only. */
  newForDays?: number
  /** Chance that customs hold a consignment. */
  customs?: number
}

const SURE = [0, 0.93, 0.07]
const QUICK = [0, 0.62, 0.3, 0.06, 0.02]
const USUAL = [0, 0.12, 0.5, 0.26, 0.08, 0.03, 0.01]
const SLOW = [0, 0, 0.08, 0.24, 0.32, 0.2, 0.09, 0.04, 0.02, 0.01]
const ERRATIC = [0, 0.02, 0.2, 0.26, 0.12, 0.06, 0.05, 0.12, 0.09, 0.05, 0.03]
const OVERSEAS = [0, 0, 0.42, 0.36, 0.13, 0.05, 0.02, 0.02]

export const LANES: readonly DemoLane[] = [
  { plant: 'OMB1', laboratory: 'OVR', service: 'ground', share: 0.75, pace: USUAL, slowerForDays: 42 },
  { plant: 'OMB1', laboratory: 'OVR', service: 'courier', share: 0.15, pace: SURE },
  { plant: 'OMB1', laboratory: 'LUS', service: 'air', share: 0.1, pace: OVERSEAS, customs: 0.08 },
  { plant: 'OMB2', laboratory: 'OVR', service: 'ground', share: 0.6, pace: USUAL },
  { plant: 'OMB2', laboratory: 'OVR', service: 'air', share: 0.4, pace: QUICK },
  { plant: 'TAR1', laboratory: 'ZEM', service: 'ground', share: 0.7, pace: USUAL },
  { plant: 'TAR1', laboratory: 'ZEM', service: 'courier', share: 0.15, pace: SURE },
  { plant: 'TAR1', laboratory: 'OVR', service: 'air', share: 0.15, pace: OVERSEAS, customs: 0.06 },
  { plant: 'VEL1', laboratory: 'OVR', service: 'road', share: 0.7, pace: SLOW },
  { plant: 'VEL1', laboratory: 'OVR', service: 'air', share: 0.3, pace: QUICK },
  { plant: 'VEL2', laboratory: 'OVR', service: 'road', share: 0.6, pace: SLOW },
  { plant: 'VEL2', laboratory: 'ZEM', service: 'air', share: 0.4, pace: OVERSEAS, customs: 0.07 },
  { plant: 'SUV1', laboratory: 'ZEM', service: 'air', share: 0.6, pace: OVERSEAS, customs: 0.06 },
  { plant: 'SUV1', laboratory: 'ZEM', service: 'ground', share: 0.4, pace: SLOW, customs: 0.04 },
  { plant: 'SUV1', laboratory: 'OVR', service: 'air', share: 0.5, pace: OVERSEAS, newForDays: 16 },
  { plant: 'DRA1', laboratory: 'LUS', service: 'air', share: 0.6, pace: QUICK },
  { plant: 'DRA1', laboratory: 'LUS', service: 'ground', share: 0.4, pace: SLOW, customs: 0.05 },
  { plant: 'DRA2', laboratory: 'ZEM', service: 'ground', share: 0.5, pace: ERRATIC, customs: 0.09 },
  { plant: 'DRA2', laboratory: 'OVR', service: 'air', share: 0.5, pace: OVERSEAS },
  { plant: 'ILQ1', laboratory: 'ZEM', service: 'road', share: 0.6, pace: USUAL },
  { plant: 'ILQ1', laboratory: 'ZEM', service: 'courier', share: 0.4, pace: SURE },
  { plant: 'KET1', laboratory: 'ZEM', service: 'courier', share: 0.65, pace: SURE },
  { plant: 'KET1', laboratory: 'ZEM', service: 'ground', share: 0.35, pace: USUAL },
  { plant: 'KET2', laboratory: 'OVR', service: 'courier', share: 0.6, pace: SURE },
  { plant: 'KET2', laboratory: 'OVR', service: 'air', share: 0.4, pace: QUICK },
  { plant: 'MOP1', laboratory: 'LUS', service: 'air', share: 0.8, pace: QUICK },
  { plant: 'MOP1', laboratory: 'OVR', service: 'air', share: 0.2, pace: OVERSEAS, customs: 0.05 },
]
