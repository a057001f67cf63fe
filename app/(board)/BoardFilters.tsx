'use client'

import { type FormEvent, useEffect, useRef } from 'react'
import { useTranslate } from '#translate'
import styles from '@/app/ui/Filters.module.css'
import { SAMPLE_GROUPS, type SampleGroup } from '@/lib/judgement/sampleGroup'
import type { MessageKey } from '@/lib/messages/message'
import type { BoardFilter } from '@/lib/store/read/board'
import { MAX_SEARCH_LENGTH, readBoardFilter } from './boardFilter'

/** The places at which a sample can be. */
const STAGE_LABELS = {
  issued: 'board.stage.issued',
  produced: 'board.stage.produced',
  collected: 'board.stage.collected',
  sealed: 'board.stage.sealed',
  dispatched: 'board.stage.dispatched',
  delivered: 'board.stage.delivered',
  received: 'board.stage.received',
  conditioned: 'board.stage.conditioned',
  loaded: 'board.stage.loaded',
  reported: 'board.stage.reported',
} as const satisfies Record<NonNullable<BoardFilter['stage']>, MessageKey>

const GROUP_LABELS = {
  'to be replaced': 'board.group.toReplace',
  unfit: 'board.group.unfit',
  'in question': 'board.group.inQuestion',
  lapsed: 'board.group.lapsed',
  'at risk': 'board.group.atRisk',
  tight: 'board.group.tight',
  sound: 'board.group.sound',
  'to be finished': 'board.group.toFinish',
  'of no use': 'board.group.ofNoUse',
} as const satisfies Record<SampleGroup, MessageKey>

const TYPING_PAUSE_MS = 250

/** Search and filters as a plain form; with scripts they apply while one types. The fields are uncontrolled. */
export function BoardFilters({
  filter,
  isFiltered,
  onFilter,
}: {
  filter: BoardFilter
  isFiltered: boolean
  onFilter: (filter: BoardFilter) => void
}) {
  const t = useTranslate()
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
          <span>{t('board.filter.search')}</span>
          <input
            type="search"
            name="search"
            defaultValue={filter.search}
            maxLength={MAX_SEARCH_LENGTH}
            placeholder={t('board.filter.searchHint')}
            autoComplete="off"
            spellCheck={false}
          />
        </label>
        <label>
          <span>{t('board.filter.stage')}</span>
          <select name="stage" defaultValue={filter.stage ?? ''}>
            <option value="">{t('board.filter.anyStage')}</option>
            {Object.entries(STAGE_LABELS).map(([value, label]) => (
              <option key={value} value={value}>
                {t(label)}
              </option>
            ))}
          </select>
        </label>
        <label>
          <span>{t('board.filter.group')}</span>
          <select name="group" defaultValue={filter.group ?? ''}>
            <option value="">{t('board.filter.anyGroup')}</option>
            {SAMPLE_GROUPS.map((group) => (
              <option key={group} value={group}>
                {t(GROUP_LABELS[group])}
              </option>
            ))}
          </select>
        </label>
        <button type="submit">{t('board.filter.find')}</button>
        {isFiltered && <a href="/">{t('board.filter.clear')}</a>}
      </form>
    </search>
  )
}

function readForm(form: HTMLFormElement): BoardFilter {
  const fields = new FormData(form)
  return readBoardFilter((key) => String(fields.get(key) ?? ''))
}
