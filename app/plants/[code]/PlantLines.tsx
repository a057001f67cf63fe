'use client'

import { BandsTop } from '@/app/(board)/BandsTop'
import { SampleList } from '@/app/(board)/PlantBand'
import { useSteadyBands } from '@/app/(board)/useSteadyBands'
import type { PlantPage } from '@/lib/store/read/plant/plantPage'

/** A plant's open samples under one axis. What changes while someone points into them waits to be shown. */
export function PlantLines({ page, now }: { page: PlantPage; now: number }) {
  const { bands, waiting, onShow, handlers } = useSteadyBands(page, bandsOf, page.plant.code)
  return (
    <div {...handlers}>
      <BandsTop waiting={waiting} onShow={onShow} />
      {bands.map(({ plant, rows }) => (
        <SampleList key={plant.code} rows={rows} zone={plant.zone} now={now} />
      ))}
    </div>
  )
}

const bandsOf = ({ plant, open }: PlantPage) => [{ plant, rows: open }]
