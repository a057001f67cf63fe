import type { Roles } from '@/lib/access/principal'
import type { FormState } from './parts/Field'

export type Asked = Record<string, string | string[] | undefined>

/** The form of a person as it was sent and refused, out of the address it led back to; null where it was not. */
export function refusedPerson(asked: Asked): { form: FormState; roles: Roles; hasLeft: boolean } | null {
  const wrong = [asked.wrong ?? []].flat()
  if (wrong.length === 0) return null
  const text = (name: string) => [asked[name] ?? ''].flat()[0] ?? ''
  return {
    form: {
      values: { email: text('email'), name: text('name'), zone: text('zone') },
      problems: wrong.map((one) => ({
        field: one.slice(0, one.indexOf(':')),
        detail: one.slice(one.indexOf(':') + 1),
      })),
    },
    roles: {
      isAdministrator: text('administrator') === 'yes',
      isReader: text('reader') === 'yes',
      plants: [asked.plants ?? []].flat(),
      laboratories: [asked.laboratories ?? []].flat(),
    },
    hasLeft: text('left') === 'yes',
  }
}

/** What a person is, in words. */
export function roleWords(roles: Roles): string {
  const words = [
    ...(roles.isAdministrator ? ['administrator'] : []),
    ...(roles.isReader ? ['reader'] : []),
    ...(roles.plants.length > 0 ? [`contact of ${roles.plants.join(', ')}`] : []),
    ...(roles.laboratories.length > 0 ? [`at the desk of ${roles.laboratories.join(', ')}`] : []),
  ]
  return words.length > 0 ? words.join('; ') : 'nothing yet: sees nothing'
}
