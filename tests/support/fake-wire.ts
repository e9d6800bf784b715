import type { Wire, WireChoice } from '../../server/messages/wire.ts'
import type { WireDoor } from '../../server/web/station-door.ts'

/** A wire that is what it was last told to be. */
export function makeFakeWire(): WireDoor & { readonly chosen: WireChoice[] } {
  let wire: Wire = { kind: 'bench' }
  const chosen: WireChoice[] = []
  return {
    chosen,
    wire: () => wire,
    lines: () => [{ arrivalS: 1.5, text: '$PXOBH', ok: false, taken: 'no checksum' }],
    use(next) {
      chosen.push(next)
      wire = next
    },
  }
}
