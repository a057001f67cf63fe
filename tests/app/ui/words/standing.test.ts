import { describe, expect, test } from 'vitest'
import { formatStanding, getStanding } from '@/app/ui/words/standing'
import { DAY, HOUR, MINUTE } from '@/lib/hold/zone'
import type { ActingRoles } from '@/lib/judgement/responsibility'
import { english } from '@/lib/messages/english'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import { ADMINISTRATOR, NOBODY } from '../../../judgement/responsibleViewer'
import { clock, row } from '../../sampleRows'

const zone = 'Europe/Lisbon'
const cutAt = Date.parse('2026-11-02T10:00:00Z')
const running = clock({ startedAt: cutAt })
const dueAt = cutAt + 10 * DAY

const standing = (of: ReturnType<typeof row>, zone: string, now: number, reader = ADMINISTRATOR) =>
  formatStanding(english, of, zone, now, reader)

describe('how a sample stands', () => {
  test('sound: the time left and which limit, nothing to do', () => {
    const words = standing(row({ stage: 'collected', binding: running }), zone, dueAt - 2 * DAY - 4 * HOUR)
    expect(words).toEqual({
      standing: 'sound',
      headline: 'sound: 2 days 4 hours left',
      limit: 'cut to chamber',
      note: null,
      action: null,
    })
  })

  test('at risk: the step that is awaited, by where it is', () => {
    const at = (stage: SampleRow['stage'], reader = ADMINISTRATOR, binding = running) =>
      standing(row({ standing: 'at risk', stage, binding }), zone, dueAt - 9 * HOUR, reader)
    const [plant, desk] = [
      { ...NOBODY, plants: ['PL1'] },
      { ...NOBODY, laboratories: ['LAB'] },
    ]
    expect(at('sealed', plant)).toMatchObject({
      headline: 'at risk: 9 hours left',
      action: 'Hand it to the carrier',
    })
    expect(at('sealed').action).toBe('Ask the plant to hand it to the carrier')
    for (const reader of [plant, desk, ADMINISTRATOR])
      expect(at('dispatched', reader).action).toBe('Ask the carrier about it')
    expect(at('received', desk).action).toBe('Load it')
    expect(at('received', plant).action).toBe('Ask the laboratory to load it')
    const toDock = clock({ startedAt: cutAt }, { to: 'conditioned' })
    expect(at('received', desk, toDock).action).toBe('Begin its conditioning')
  })

  test('lapsed: since when, and to issue another kit', () => {
    const lapsed = row({ standing: 'lapsed', stage: 'received', binding: running, lapsed: running })
    expect(standing(lapsed, zone, dueAt + 3 * HOUR + MINUTE)).toMatchObject({
      headline: 'lapsed 3 hours ago',
      limit: 'cut to chamber',
      action: 'Issue a kit to replace it',
    })
  })

  test('lapsed: what whoever reads it is to do, which is for a plant to wait for the kit', () => {
    const lapsed = row({ standing: 'lapsed', stage: 'received', binding: running, lapsed: running })
    const action = (reader: ActingRoles) => standing(lapsed, zone, dueAt + HOUR, reader).action
    expect(action({ ...NOBODY, plants: ['PL1'] })).toBe('Cut again when the kit to replace it arrives')
    expect(action({ ...NOBODY, plants: ['PL2'], laboratories: ['LAB'] })).toBe(null)
  })

  test('lapsed by a clock that stopped late, while another still runs: by how much it was missed', () => {
    const late = clock(
      { startedAt: cutAt, stoppedAt: cutAt + 26 * HOUR + 18 * MINUTE },
      { name: 'cut to carrier', to: 'dispatched', amount: 24 },
    )
    const words = standing(
      row({ standing: 'lapsed', stage: 'dispatched', binding: running, lapsed: late }),
      zone,
      cutAt + 2 * DAY,
    )
    expect(words).toMatchObject({
      headline: 'lapsed: missed by 2 hours 18 minutes',
      limit: 'cut to carrier',
      action: 'Issue a kit to replace it',
    })
  })

  test('lapsed as soon as the due has passed, though it was sound when it was last asked', () => {
    const stale = row({ stage: 'collected', binding: running, standing: 'at risk' })
    expect(getStanding(stale, dueAt)).toBe('at risk')
    expect(getStanding(stale, dueAt + 1)).toBe('lapsed')
    expect(standing(stale, zone, dueAt + 1)).toMatchObject({
      headline: 'lapsed less than a minute ago',
      action: 'Issue a kit to replace it',
    })
  })

  test('with a time missing: what to ask for', () => {
    const words = standing(
      row({ stage: 'received', missingMilestones: ['collected', 'dispatched'] }),
      zone,
      dueAt,
    )
    expect(words).toMatchObject({
      headline: 'no clock running',
      action: 'Ask when it was cut · Ask when it was handed over',
    })
  })

  test('with no clock: whether one is to come, or no limit is known', () => {
    expect(standing(row(), zone, dueAt).headline).toBe('no clock running yet')
    expect(standing(row({ protocol: null }), zone, dueAt).headline).toBe('no hold limit known')
  })

  test('settled: how, and when by the plant’s calendar', () => {
    const settled = { isSettled: true, settledAt: Date.parse('2026-11-09T23:30:00Z') }
    const kept = row({ ...settled, standing: 'kept', stage: 'reported' })
    expect(standing(kept, 'Asia/Kolkata', dueAt)).toMatchObject({
      headline: 'kept',
      note: 'settled Tue 10 Nov',
      action: null,
    })
    const lost = row({ ...settled, standing: 'ended', ending: 'lost' })
    expect(standing(lost, zone, dueAt)).toMatchObject({ headline: 'ended: lost', note: 'settled Mon 9 Nov' })
    const late = row({
      ...settled,
      standing: 'lapsed',
      ending: 'rejected',
      lapsed: clock({ startedAt: cutAt, stoppedAt: dueAt + 2 * HOUR }),
    })
    expect(standing(late, zone, dueAt + DAY)).toMatchObject({
      headline: 'lapsed: missed by 2 hours',
      limit: 'cut to chamber',
      note: 'rejected, settled Mon 9 Nov',
    })
  })
})

test('a lapsed sample that another stands in for asks nobody for anything', () => {
  const over = clock({ startedAt: 0 })
  const lapsed = row({ standing: 'lapsed', binding: over, lapsed: over })
  expect(standing(lapsed, 'Europe/Lisbon', 20 * DAY).action).toBe('Issue a kit to replace it')
  expect(standing({ ...lapsed, replacedBy: 'G9HF3SN3' }, 'Europe/Lisbon', 20 * DAY)).toMatchObject({
    note: 'replaced by G9HF-3SN3',
    action: null,
  })
})
