import { z } from 'zod'
import { message } from '@/lib/messages/message'
import { type ConditionRules, DEGREES, FAULTS } from './condition'
import { GRADES } from './grade'
import { toSchemaError } from './schemaError'

const degrees = z.number().min(DEGREES.min).max(DEGREES.max)

/** What a protocol says of the condition in which its samples may arrive. */
export const conditionRules = z.looseObject({
  temperature: z
    .looseObject({ min: degrees.optional(), max: degrees.optional() })
    .refine(({ min, max }) => min === undefined || max === undefined || min <= max, {
      path: ['max'],
      error: toSchemaError(message('register.temperatureRange')),
    })
    .optional(),
  grades: z.partialRecord(z.enum(FAULTS), z.enum(GRADES)).optional(),
}) satisfies z.ZodType<ConditionRules>
