import { CONDITION, CONDITION_PARTS, type Condition, type ConditionOption } from '@/lib/custody/condition'
import type { Translate } from '@/lib/messages/translate'

/** What a receipt tells of the condition, a short text for each part that was checked: "Seal: broken". */
export function formatCondition(t: Translate, told: Condition): string[] {
  return CONDITION_PARTS.flatMap((part) => {
    const value = told[part]
    if (value === undefined) return []
    const options: readonly ConditionOption[] = CONDITION[part].options ?? []
    const option = options.find((one) => one.value === value)
    const text = option ? t(option.label) : typeof value === 'number' ? t.number(value) : String(value)
    return [t('samples.event.fact', { name: t(CONDITION[part].label), value: text })]
  })
}
