import { bends } from './counted.ts'

/** Texts of proving and applying a chain, and of its revisions. */
export const chainApplyWords = {
  prove: {
    title: 'Prove',
    open: 'Prove',
    intro:
      'The raw lines of recorded bends run again through the chain that recorded them and through the draft.',
    bends: 'Bends',
    none: 'No bend is recorded yet; there is nothing to prove the draft on.',
    bend: (id: number) => `Bend ${id}`,
    about: (part: string, piece: number, bend: number, when: string) =>
      `${part}, piece ${piece}, bend ${bend}, ${when}`,
    run: (count: number) => `Prove on ${bends(count)}`,
    running: 'Running the bends again…',
    atLeast: 'Choose at least one bend.',
    atMost: (most: number) => `Choose at most ${most} bends.`,
    differences: 'Differences',
    unchanged: 'Every figure is as before.',
    done: (count: number, differing: number) =>
      differing === 0
        ? `${bends(count)}: every figure is as before.`
        : `${bends(count)}: ${differing} with another figure.`,
    stale: 'The draft was changed since; prove it again.',
    quantities: {
      datumDeg: 'Datum',
      peakDeg: 'Peak',
      releasedDeg: 'Released',
      cueDeg: 'Cue at',
      cueS: 'Cue after',
    },
    same: 'as before',
    missing: 'none',
    fromTo: (before: string, after: string) => `${before} → ${after}`,
    trace: (id: number) => `Traces of bend ${id}: as recorded, and by the draft`,
    showTrace: (id: number) => `Trace of bend ${id}`,
    recorded: 'as recorded',
    draft: 'draft',
    notRun: 'Not run:',
  },
  apply: {
    title: 'Apply',
    open: 'Apply',
    intro:
      'The draft becomes the chain of this station, as a new revision. Every bend names the one that it was read by.',
    betweenBends: 'If a bend is open, it is applied when this bend is done.',
    unproved: 'It has not been proved on a recorded bend.',
    who: 'Your name',
    whoHelp: 'Stands in the list of revisions.',
    why: 'Why',
    whyHelp: 'For whoever asks later.',
    required: 'Needed.',
    apply: 'Apply',
    cancel: 'Cancel',
    now: (revision: string) => `${revision} runs now.`,
    waiting: (revision: string, who: string, why: string) =>
      `${revision} waits; it is applied when this bend is done. ${who}: ${why}`,
  },
  revisions: {
    title: 'Revisions',
    open: 'Revisions',
    intro:
      'Who changed this chain, when and why. To go back, open an earlier one as the draft and apply it.',
    none: 'Nobody has changed the chain yet: it runs as shipped.',
    revision: 'Revision',
    when: 'When',
    who: 'Who',
    why: 'Why',
    inForce: 'in force',
    shipped: 'as shipped',
    asDraft: 'Open as draft',
    openOne: (revision: string) => `Open ${revision} as draft`,
    openShipped: 'Open the shipped chain as draft',
    replaces: 'There is a draft already; discard it first.',
  },
}
