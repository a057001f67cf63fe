import type { Register } from '@/lib/custody/register'
import type { Way } from '@/lib/lane/model/stage'

/** A lane as a page names it. The service is null where no report and no kit names one. */
export interface NamedLane {
  plant: { code: string; name: string; zone: string }
  laboratory: { code: string; name: string; zone: string }
  service: { code: string; name: string } | null
}

/** A lane by the names that the register has for its ends. */
export function namedLane({ plant, laboratory, service }: Way, register: Register): NamedLane {
  const [from, to] = [register.plants.get(plant), register.laboratories.get(laboratory)]
  return {
    plant: { code: plant, name: from?.name ?? plant, zone: from?.zone ?? 'UTC' },
    laboratory: { code: laboratory, name: to?.name ?? laboratory, zone: to?.zone ?? 'UTC' },
    service:
      service === null ? null : { code: service, name: register.services.get(service)?.name ?? service },
  }
}
