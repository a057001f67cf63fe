'use client'

import { type FormEvent, useEffect, useRef } from 'react'
import styles from '@/app/ui/Filters.module.css'
import { OPEN_STANDINGS } from '@/lib/hold/standing'
import type { BoardFilter } from '@/lib/store/read/board'
import { MAX_SEARCH_LENGTH, readBoardFilter } from './boardFilter'

/** Where an open sample can be; what is reported is settled. */
const STAGE_LABELS: Record<Exclude<NonNullable<BoardFilter['stage']>, 'reported'>, string> = {
  issued: 'kit issued',
  produced: 'made',
  collected: 'cut',
  sealed: 'sealed',
  dispatched: 'with the carrier',
  delivered: 'delivered',
  received: 'on the dock',
  conditioned: 'in conditioning',
  loaded: 'in the chamber',
}

const TYPING_PAUSE_MS = 250

/** Search and filters as a plain form; with scripts it applies as one types. Its fields hold their own values. */
export function BoardFilters({
  filter,
  isFiltered,
  onFilter,
}: {
  filter: BoardFilter
  isFiltered: boolean
  onFilter: (filter: BoardFilter) => void
}) {
  const pause = useRef<ReturnType<typeof setTimeout>>(undefined)
  useEffect(() => () => clearTimeout(pause.current), [])
  const apply = (form: HTMLFormElement, afterMs: number) => {
    clearTimeout(pause.current)
    pause.current = setTimeout(() => onFilter(readForm(form)), afterMs)
  }
  const onInput = (event: FormEvent<HTMLFormElement>) =>
    apply(event.currentTarget, event.target instanceof HTMLSelectElement ? 0 : TYPING_PAUSE_MS)
  return (
    <search className={styles.place}>
      <form
        action="/"
        className={styles.filters}
        onInput={onInput}
        onSubmit={(event) => {
          event.preventDefault()
          apply(event.currentTarget, 0)
        }}
      >
        <label className={styles.search}>
          <span>Search</span>
          <input
            type="search"
            name="search"
            defaultValue={filter.search}
            maxLength={MAX_SEARCH_LENGTH}
            placeholder="kit code, waybill, plant or product"
            autoComplete="off"
            spellCheck={false}
          />
        </label>
        <label>
          <span>Where it is</span>
          <select name="stage" defaultValue={filter.stage ?? ''}>
            <option value="">anywhere</option>
            {Object.entries(STAGE_LABELS).map(([value, label]) => (
              <option key={value} value={value}>
                {label}
              </option>
            ))}
          </select>
        </label>
        <label>
          <span>Standing</span>
          <select name="standing" defaultValue={filter.standing ?? ''}>
            <option value="">any</option>
            {OPEN_STANDINGS.map((standing) => (
              <option key={standing}>{standing}</option>
            ))}
          </select>
        </label>
        <button type="submit">Find</button>
        {isFiltered && <a href="/">Clear</a>}
      </form>
    </search>
  )
}

function readForm(form: HTMLFormElement): BoardFilter {
  const fields = new FormData(form)
  return readBoardFilter((key) => String(fields.get(key) ?? ''))
}
