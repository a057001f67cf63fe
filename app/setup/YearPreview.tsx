import { openingDays } from '@/lib/custody/registerDocument'
import type { FormValues } from './forms/formValues'
import { laboratoryContent } from './forms/laboratoryForm'
import { YearCalendar } from './YearCalendar'

/** The year of a laboratory as its form is filled in; nothing while the form has something that cannot be read. */
export function YearPreview({ values, year }: { values: FormValues; year: number }) {
  const { content, problems } = laboratoryContent(values)
  const read = openingDays.safeParse(content)
  if (problems.length > 0 || !read.success || Object.keys(read.data.receiving).length === 0) return null
  return <YearCalendar laboratory={read.data} year={year} />
}
