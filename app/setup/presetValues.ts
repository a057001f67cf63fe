import { PRESETS } from '@/lib/hold/presets'
import type { FormValues } from './forms/formValues'
import { protocolValues } from './forms/protocolForm'

/** The form of a protocol filled in with a published one; empty where the address names none. */
export function presetValues(code: string | string[] | undefined): FormValues {
  const preset = PRESETS.find((one) => one.code === code)
  return preset ? protocolValues(preset) : {}
}
