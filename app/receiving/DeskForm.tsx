'use client'

import { type KeyboardEvent, type ReactNode, type SubmitEvent, useEffect, useRef, useState } from 'react'
import styles from '@/app/ui/EventForm.module.css'
import type { OtherBox } from '@/lib/intake/hand/receiptForm'
import { type Message, message } from '@/lib/messages/message'
import { type Desk, DeskContext } from './DeskContext'
import { createBoxName, readScan, splitScan } from './readScan'

/** A scanner may end a code with two line ends. The second is not a press by a person, ms. */
const DOUBLE_ENTER_MS = 300

/**
 * The form of a receiving desk. Its first button reads a scan, so Enter records nothing in any field: only the button that says so
 * does. With scripts the other buttons work at once; without, the server answers each with the page and all that was typed.
 */
export function DeskForm({
  listed,
  opened,
  others,
  known,
  answer,
  isFirst,
  children,
}: {
  /** The kit codes of the list. */
  listed: readonly string[]
  opened: readonly string[]
  others: readonly OtherBox[]
  known: Desk['known']
  answer: Message | null
  /** It is the first of its page. */
  isFirst: boolean
  children: ReactNode
}) {
  const [desk, setDesk] = useState<Desk>({ opened: new Set(opened), others, known, focused: null, answer })
  const scannedAt = useRef(0)
  const typed = useRef(NOTHING_TYPED)
  const place = useRef<HTMLFormElement>(null)
  // Where the address names a part of the page, as after every press, the browser takes the focus away until all is loaded.
  useEffect(() => {
    const focusFirst = () => {
      const form = place.current
      // Whoever types already is not interrupted.
      if (!form || form.contains(document.activeElement)) return
      const wrong = findWrong(form)
      if (wrong) goTo(wrong)
      else if (isFirst) findScanField(form).focus({ preventScroll: true })
    }
    focusFirst()
    if (document.readyState === 'complete') return
    const again = () => setTimeout(focusFirst)
    window.addEventListener('load', again, { once: true })
    return () => window.removeEventListener('load', again)
  }, [isFirst])

  function open(name: string, told: Partial<Desk> = {}) {
    setDesk((before) => ({
      ...before,
      opened: new Set([...before.opened, name]),
      focused: { name },
      answer: null,
      ...told,
    }))
  }

  function press(event: SubmitEvent<HTMLFormElement>) {
    const button = event.nativeEvent.submitter
    if (!(button instanceof HTMLButtonElement) || button.name !== 'press') return
    event.preventDefault()
    const form = event.currentTarget
    if (button.value === 'scan') scan(form, event.timeStamp)
    else if (button.value === 'box') addBox(form)
    else open(button.value)
  }

  function scan(form: HTMLFormElement, at: number) {
    const field = findScanField(form)
    const focused = document.activeElement
    if (focused instanceof HTMLInputElement && focused !== field) {
      const scanned = focused.type === 'text' ? splitScan(focused.value) : null
      field.focus()
      if (!scanned) return setDesk((before) => ({ ...before, answer: message('receiving.scan.here') }))
      focused.value = scanned.before
      field.value = scanned.code
    }
    const ticked = listTicked(form)
    if (field.value.trim() === '' && ticked.length > 0) {
      if (at - scannedAt.current < DOUBLE_ENTER_MS) return
      form.querySelector<HTMLButtonElement>('button[data-record]')?.focus()
      return setDesk((before) => ({ ...before, answer: message('receiving.scan.ready') }))
    }
    const read = readScan(field.value, listed, ticked, known)
    scannedAt.current = at
    if (read.act === null) {
      field.select()
      return setDesk((before) => ({ ...before, answer: read.answer }))
    }
    field.value = ''
    if (read.act === 'open') return open(read.code, { answer: read.answer })
    if (read.act === 'tick') tick(form, read.code)
    setDesk((before) => ({
      ...before,
      answer: read.answer,
      others:
        read.act === 'add' && !before.others.some(({ name }) => name === read.code)
          ? [...before.others, { name: read.code, waybill: '', written: '' }]
          : before.others,
    }))
  }

  /**
   * A scanner types wherever the focus is, and may end a code with Tab. A code in the scan field is read at Tab as well; one that went
   * into a field that takes no such text, as a day or a choice, is read from the keys, and the field gets back what it had.
   */
  function listen(event: KeyboardEvent<HTMLFormElement>) {
    const { key, target, currentTarget: form } = event
    if (event.ctrlKey || event.altKey || event.metaKey) return
    const field = findScanField(form)
    const isEnd = key === 'Enter' || (key === 'Tab' && !event.shiftKey)
    if (target === field) {
      if (key !== 'Tab' || !isEnd || splitScan(field.value)?.before !== '') return
      event.preventDefault()
      return scan(form, event.timeStamp)
    }
    if (takesText(target)) return
    if (key.length === 1) {
      const before = typed.current.target === target ? typed.current : { target, values: [], keys: '' }
      typed.current = { target, values: [...before.values, readValue(target)], keys: before.keys + key }
    }
    if (!isEnd) return
    const { keys, values } = typed.current
    typed.current = NOTHING_TYPED
    const scanned = splitScan(keys)
    // A day and a time are digits alone.
    if (!scanned || /^\d+$/.test(scanned.code)) return
    event.preventDefault()
    // What was typed there before the code stays.
    if (isField(target)) target.value = values[scanned.from] ?? target.value
    field.value = scanned.code
    field.focus()
    scan(form, event.timeStamp)
  }

  /** What was scanned and could not be read is what is written on the box. */
  function addBox(form: HTMLFormElement) {
    const field = findScanField(form)
    const written = field.value.trim()
    field.value = ''
    const name = createBoxName(desk.others.map((box) => box.name))
    open(name, { others: [...desk.others, { name, waybill: '', written }] })
  }

  return (
    <form
      method="post"
      action="/api/record"
      className={styles.form}
      onSubmit={press}
      onKeyDown={listen}
      ref={place}
    >
      <DeskContext value={desk}>{children}</DeskContext>
    </form>
  )
}

/** The keys that were pressed in one field, and what it had before each. */
interface Typed {
  target: EventTarget | null
  values: readonly string[]
  keys: string
}
const NOTHING_TYPED: Typed = { target: null, values: [], keys: '' }

function isField(target: EventTarget): target is HTMLInputElement | HTMLSelectElement {
  return target instanceof HTMLInputElement || target instanceof HTMLSelectElement
}

/** Whether what is typed there stays as it is typed. */
function takesText(target: EventTarget): boolean {
  return (
    target instanceof HTMLTextAreaElement || (target instanceof HTMLInputElement && target.type === 'text')
  )
}

/** The value of a field that keys can change. */
function readValue(target: EventTarget): string {
  return isField(target) ? target.value : ''
}

/** The first field at fault, or the first sentence that says what is wrong. */
function findWrong(form: HTMLFormElement): HTMLElement | null {
  return form.querySelector<HTMLElement>('[aria-invalid="true"], [data-fault]')
}

function goTo(wrong: HTMLElement): void {
  const folded = wrong.closest('details')
  if (folded) folded.open = true
  wrong.focus({ preventScroll: true })
  wrong.scrollIntoView({ block: 'center' })
}

function findScanField(form: HTMLFormElement): HTMLInputElement {
  return form.elements.namedItem('scan') as HTMLInputElement
}

/** The browser keeps what is ticked, since the form works without scripts. */
function listTicked(form: HTMLFormElement): string[] {
  const boxes = form.querySelectorAll<HTMLInputElement>(
    'input[name="sample"]:checked, input[name="box"]:checked',
  )
  return [...boxes].map(({ value }) => value)
}

function tick(form: HTMLFormElement, code: string): void {
  const box = form.querySelector<HTMLInputElement>(`input[name="sample"][value="${code}"]`)
  if (!box) return
  box.checked = true
  box.closest('li')?.scrollIntoView({ block: 'nearest' })
}
