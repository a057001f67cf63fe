import type { Person } from './principal'

/** Who asks. Until there is sign-in the server listens on this machine only, and whoever reaches it sees everything. */
export async function visitor(): Promise<Person | null> {
  return {
    kind: 'person',
    id: 'local',
    email: '',
    name: 'Whoever is at this machine',
    roles: { isAdministrator: true, isReader: false, plants: [], laboratories: [] },
  }
}
