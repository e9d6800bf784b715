import type { ComponentChildren } from 'preact'
import { useEffect, useRef } from 'preact/hooks'
import { words } from '../../words/en.ts'

/** A sheet under the drawing. The keyboard goes on in it as soon as it opens. */
export function Sheet(props: {
  title: string
  label?: string
  acts?: ComponentChildren
  close(): void
  children: ComponentChildren
}) {
  const head = useRef<HTMLHeadingElement>(null)
  useEffect(() => {
    head.current?.focus({ preventScroll: true })
    head.current?.scrollIntoView({ block: 'nearest' })
  }, [])
  return (
    <section class="block-sheet" aria-label={props.label ?? props.title}>
      <div class="block-sheet-head">
        <h2 tabIndex={-1} ref={head}>
          {props.title}
        </h2>
        <p class="block-sheet-acts">
          {props.acts}
          <button type="button" class="plain" onClick={props.close}>
            {words.chain.close}
          </button>
        </p>
      </div>
      {props.children}
    </section>
  )
}
