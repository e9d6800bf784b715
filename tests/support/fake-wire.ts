import type { Wire, WireChoice } from '../../server/messages/wire.ts'
import type { WireDoor } from '../../server/web/station-door.ts'

/** A wire that is what it was last told to be. */
export function makeFakeWire(): WireDoor & { readonly chosen: WireChoice[] } {
  let wire: Wire = { kind: 'bench' }
  const chosen: WireChoice[] = []
  return {
    chosen,
    ports: async () => [
      {
        path: '/dev/serial/by-id/usb-A-if00',
        name: 'A (/dev/ttyACM0)',
        maker: 'A',
        serialNumber: null,
      },
    ],
    probe: async (path) => ({
      wire: { kind: 'serial', path, baud: 115_200, dialect: 'native' },
      sure: 0.98,
      sentence: 'At 115200 baud: 40 of 40 lines are sentences of the native protocol.',
      tries: [],
    }),
    wire: () => wire,
    lines: () => [{ arrivalS: 1.5, text: '$PXOBH', ok: false, taken: 'no checksum' }],
    use(next) {
      chosen.push(next)
      wire = next
    },
  }
}
