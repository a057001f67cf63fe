import type pg from 'pg'
import type { Scope } from '@/lib/policy/scope'
import { testedProduct } from '@/lib/schedule/occurrences'
import { currentRegister } from '../../ledger/currentRegister'
import { inScope } from '../../scope/scope'

/** Whether the register has a duty of a plant, or for a laboratory, of a scope. */
export function hasDuties(pool: pg.Pool, scope: Scope): Promise<boolean> {
  return inScope(pool, 'all', async (client) => {
    const register = await currentRegister(pool, client)
    return [...register.duties.values()].some((duty) => {
      if (scope === 'all' || scope.laboratories.includes(duty.laboratory)) return true
      const plant = register.products.get(testedProduct(duty, register) ?? '')?.plant
      return plant !== undefined && scope.plants.includes(plant)
    })
  })
}
