import { expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { getPlantPage } from '@/lib/store/read/plant/plantPage'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { wire } from '../../../cases/smallProgramme'
import { makeTestDatabase } from '../../../setup/database'
import { laneProgramme } from '../../laneProgramme'

const NOW = Date.parse('2026-11-10T12:00:00Z')

test('a plant’s page exists for a scope that sees the plant; otherwise the plant is unknown', async () => {
  const lane = (plant: string) => ({ plant, laboratory: 'L1', service: 'road', days: [2, 2, 2] })
  const programme = laneProgramme([lane('A'), lane('B')], NOW)
  const { app } = await makeTestDatabase()
  await applyRegister(app, programme.register, NOW)
  await acceptEvents(app, wire(...programme.events), UNRESTRICTED, NOW)
  const asked = (code: string) => getPlantPage(app, { plants: ['A'], laboratories: [] }, code, NOW)
  expect((await asked('A'))?.plant.name).toBe('Plant A')
  expect(await asked('B')).toBeNull()
  expect(await asked('Z')).toBeNull()
  expect((await getPlantPage(app, 'all', 'B', NOW))?.plant.name).toBe('Plant B')
})
