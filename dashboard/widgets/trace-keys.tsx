import type { ComponentChildren } from 'preact'
import { traceWords as say } from '../words/en-trace.ts'
import type { TraceMarks } from './trace-marks.ts'

function Key({ name, children }: { name: string; children: ComponentChildren }) {
  return (
    <li>
      <svg class="line-mark" viewBox="0 0 36 20" aria-hidden="true">
        {children}
      </svg>
      {name}
    </li>
  )
}

/** What the marks of a recorded trace mean; marks that are not on it are left out. */
export function TraceKeys({ marks: { goes, commandedDeg } }: { marks: TraceMarks }) {
  return (
    <ul class="chart-keys" aria-label={say.keys}>
      <Key name={say.wanted}>
        <rect class="key-band" x="0" y="6" width="36" height="8" />
      </Key>
      {commandedDeg !== null && (
        <Key name={say.stop}>
          <path class="key-wanted" d="M0 10H36" />
        </Key>
      )}
      {goes.some(({ cue }) => cue) && (
        <Key name={say.cue}>
          <path class="key-mark" d="M26 10 12 4V16Z" />
        </Key>
      )}
      {goes.length > 0 && (
        <Key name={say.peak}>
          <path class="key-mark" d="M18 16 12 5H24Z" />
        </Key>
      )}
      {goes.some(({ released }) => released) && (
        <Key name={say.released}>
          <path class="key-mark" d="M18 3 25 10 18 17 11 10Z" />
        </Key>
      )}
      {goes.some(({ plateau }) => plateau) && (
        <Key name={say.plateau}>
          <path d="M2 6V13H34V6" />
        </Key>
      )}
    </ul>
  )
}
