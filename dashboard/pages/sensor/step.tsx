import type { ComponentChildren } from 'preact'
import { useId } from 'preact/hooks'

interface StepProps {
  readonly title: string
  /** What it looks like when it is right. */
  readonly good: string
  readonly isDone: boolean
  readonly children: ComponentChildren
}

/** One step from the box to a trusted degree: a balloon on the drawing, numbered as it comes, and what good looks like. */
export function Step({ title, good, isDone, children }: StepProps) {
  const id = useId()
  return (
    <section class="step" aria-labelledby={id} data-done={isDone ? 'yes' : 'no'}>
      <div class="step-balloon" aria-hidden="true" />
      <div class="step-body">
        <h2 id={id}>{title}</h2>
        <p class="step-good">{good}</p>
        {children}
      </div>
    </section>
  )
}
