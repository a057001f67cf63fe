import type { PlantEntry } from './registerDocument'
import type { WrittenForm } from './writtenTime'

/** A plant of the demo programme, with habits that the register does not hold. All names are invented. */
export interface DemoPlant extends Omit<PlantEntry, 'workdays'> {
  /** Weekdays on which it cuts and ships; 0 is Sunday. */
  workdays: number[]
  /** When the day's first carrier calls, in minutes since local midnight. */
  pickupMinutes: number
  /** Chance that a batch is cut on a workday. */
  activity: number
  /** How its desk writes times. */
  deskForm: WrittenForm
  /** Whether `produced` is known only by its date. */
  isProducedByDate: boolean
}

const WEEK = [1, 2, 3, 4, 5]

export const PLANTS: readonly DemoPlant[] = [
  plant(
    'OMB1',
    'Ombrel Felt, north hall',
    'Ombrel Felt',
    'Europe/Warsaw',
    WEEK,
    930,
    0.66,
    'local in zone',
    true,
  ),
  plant('OMB2', 'Ombrel Felt, river hall', 'Ombrel Felt', 'Europe/Lisbon', WEEK, 990, 0.6, 'offset', false),
  plant(
    'TAR1',
    'Tarnuck Felt, loom house',
    'Tarnuck Felt',
    'America/New_York',
    WEEK,
    945,
    0.64,
    'local at place',
    false,
  ),
  plant(
    'VEL1',
    'Vellik Cork, press one',
    'Vellik Cork',
    'Europe/Lisbon',
    WEEK,
    1020,
    0.68,
    'local at place',
    false,
  ),
  plant(
    'VEL2',
    'Vellik Cork, press two',
    'Vellik Cork',
    'Europe/Lisbon',
    WEEK,
    960,
    0.5,
    'local in zone',
    true,
  ),
  plant('SUV1', 'Suvrane Cork', 'Suvrane Cork', 'America/Sao_Paulo', WEEK, 900, 0.62, 'offset', false),
  plant(
    'DRA1',
    'Drauvenk Panels, east line',
    'Drauvenk Panels',
    'Asia/Kolkata',
    [...WEEK, 6],
    1005,
    0.4,
    'local at place',
    false,
  ),
  plant(
    'DRA2',
    'Drauvenk Panels, south line',
    'Drauvenk Panels',
    'America/Sao_Paulo',
    WEEK,
    930,
    0.36,
    'local in zone',
    true,
  ),
  plant('ILQ1', 'Ilquen Acoustic', 'Ilquen Acoustic', 'America/New_York', WEEK, 975, 0.42, 'offset', false),
  plant(
    'KET1',
    'Kettrin Foam, block hall',
    'Kettrin Foam',
    'America/New_York',
    WEEK,
    1000,
    0.72,
    'local at place',
    false,
  ),
  plant('KET2', 'Kettrin Foam, roll hall', 'Kettrin Foam', 'Europe/Warsaw', WEEK, 915, 0.66, 'utc', false),
  plant(
    'MOP1',
    'Mopsal Foam',
    'Mopsal Foam',
    'Asia/Kolkata',
    [...WEEK, 6],
    1050,
    0.62,
    'local in zone',
    false,
  ),
]

function plant(
  code: string,
  name: string,
  maker: string,
  zone: string,
  workdays: number[],
  pickupMinutes: number,
  activity: number,
  deskForm: WrittenForm,
  isProducedByDate: boolean,
): DemoPlant {
  return { code, name, maker, zone, workdays, pickupMinutes, activity, deskForm, isProducedByDate }
}
