import type { KitContent, PlantContent, ProductContent, ServiceContent } from '@/lib/custody/registerDocument'
import type { EntryContent } from '@/lib/store'
import { type FormValues, optional } from './formValues'

/** A plant, service, product or kit as its form and its CSV have it: a field for each thing it says. */

export function plantValues({ code, name, maker, zone }: PlantContent): FormValues {
  return { code, name, maker: maker ?? '', zone }
}

export function plantContent(values: FormValues): EntryContent {
  const { code, name, zone } = values
  return { code, name, maker: optional(values.maker), zone }
}

export function serviceValues({ code, name }: ServiceContent): FormValues {
  return { code, name }
}

export function serviceContent({ code, name }: FormValues): EntryContent {
  return { code, name }
}

export function productValues({ code, name, plant, protocol }: ProductContent): FormValues {
  return { code, name, plant, protocol }
}

export function productContent({ code, name, plant, protocol }: FormValues): EntryContent {
  return { code, name, plant, protocol }
}

export function kitValues(kit: KitContent): FormValues {
  const { code, plant, laboratory, issuedAt } = kit
  const { product = '', service = '', purpose = 'first', replaces = '' } = kit
  return { code, plant, product, laboratory, service, purpose, replaces, issuedAt }
}

export function kitContent(values: FormValues): EntryContent {
  const { code, plant, laboratory, issuedAt } = values
  return {
    code,
    plant,
    product: optional(values.product),
    laboratory,
    service: optional(values.service),
    purpose: optional(values.purpose),
    replaces: optional(values.replaces),
    issuedAt,
  }
}
