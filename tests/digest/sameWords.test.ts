import { expect, test } from 'vitest'
import { ALERTS, type AlertSample } from '@/lib/digest/alerts/alertText'
import { createDateFormat } from '@/lib/digest/weekly/dateFormat'
import { describeItem } from '@/lib/digest/weekly/itemText'
import { toSampleItems } from '@/lib/digest/weekly/sampleItems'
import { judgeAll } from '@/lib/judgement/judgeAll'
import { ProgrammeIndex } from '@/lib/judgement/programmeIndex'
import { makeResponsible } from '@/lib/judgement/responsibility'
import { english } from '@/lib/messages/english'
import type { SampleDossier } from '@/lib/store/read/sample/sampleDossier'
import { clock, row } from '../app/sampleRows'
import { CUT, LEFT, ONE, registerWithLimit } from '../judgement/overdueCases'
import { type EventInput, makeProgramme } from '../schedule/programme'

const AT = '2026-11-03T16:00:00Z'
const STAGES: Record<string, EventInput[]> = {
  'not cut': [],
  cut: [['collected', '2026-11-03T10:00:00Z']],
  'under way': [CUT, LEFT],
  delivered: [CUT, LEFT, ['delivered', '2026-11-03T14:00:00Z']],
  received: [CUT, LEFT, ['received', '2026-11-03T14:00:00Z']],
  'in the chamber': [CUT, LEFT, ['received', '2026-11-02T14:00:00Z'], ['loaded', '2026-11-03T14:00:00Z']],
}

test.each(Object.keys(STAGES))(
  'what is next of a sample at risk that is %s is said in the same words in the weekly mail and in an alert',
  (stage) => {
    const programme = makeProgramme(AT, [[ONE, STAGES[stage] as EventInput[]]], {
      register: registerWithLimit('in transit', 30),
    })
    const times = { tightAt: programme.now - 2, atRiskAt: programme.now - 1 }
    const index = new ProgrammeIndex(programme, new Map([[ONE.code, { times, needsOpening: false }]]))
    const [judged] = judgeAll(index)
    if (!judged) throw new Error('It is judged.')
    const sample = row({ code: ONE.code, standing: 'at risk', binding: clock({ startedAt: programme.now }) })
    const dates = createDateFormat(english, 'en-GB', { zone: 'UTC', asOf: programme.now })
    const names = { places: new Map<string, string>(), products: new Map<string, string>() }
    for (const item of toSampleItems([judged], [], new Map([[ONE.code, sample]]), programme.now)) {
      const reader = makeResponsible(item.actor)
      if (judged.judgement.acts.find(({ actor }) => actor.by === item.actor.by)?.byAt !== item.at) continue
      const weekly = describeItem(english, item, {
        names,
        zones: new Map(),
        dates,
        reader,
        showsPlant: false,
      })
      const alerted: AlertSample = {
        kind: 'at risk',
        dossier: {
          row: { ...sample, plant: judged.plant, laboratory: judged.laboratory },
          plant: { zone: 'UTC' },
        } as SampleDossier,
        judgement: judged.judgement,
        instances: [],
      }
      const alert = ALERTS['at risk'].describe(english, alerted, dates, {
        ...reader,
        language: 'en-GB',
        zone: 'UTC',
      })
      expect(alert?.next.act).toBe(weekly.act.replace(/ \([^)]*\)/, ''))
      expect(alert?.next.path).toBe(weekly.path)
    }
  },
)
