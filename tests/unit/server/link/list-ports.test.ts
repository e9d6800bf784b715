import { describe, expect, test } from 'vitest'
import { listPortEntries } from '../../../../server/link/list-ports.ts'

type Listed = Parameters<typeof listPortEntries>[0] extends
  | (() => Promise<readonly (infer P)[]>)
  | undefined
  ? P
  : never
const port = (path: string, more: Partial<Listed> = {}): Listed => ({ path, ...more }) as Listed

describe('the ports of this machine', () => {
  test('have their stable name where it is there, adapters first', async () => {
    const entries = await listPortEntries(
      async () => [
        port('/dev/ttyS0'),
        port('/dev/ttyUSB1', { pnpId: 'usb-Gone-if00', manufacturer: 'B' }),
        port('/dev/ttyACM0', {
          ...{ pnpId: 'usb-Maker_7-if00', manufacturer: 'Maker', serialNumber: '7' },
        }),
      ],
      (path) => path.endsWith('usb-Maker_7-if00'),
    )
    expect(entries).toEqual([
      {
        path: '/dev/serial/by-id/usb-Maker_7-if00',
        name: 'Maker 7 (/dev/ttyACM0)',
        maker: 'Maker',
        serialNumber: '7',
      },
      { path: '/dev/ttyUSB1', name: 'B (/dev/ttyUSB1)', maker: 'B', serialNumber: null },
      { path: '/dev/ttyS0', name: '/dev/ttyS0', maker: null, serialNumber: null },
    ])
  })

  test('that cannot be listed are none', async () => {
    expect(await listPortEntries(() => Promise.reject(new Error('udev')))).toEqual([])
  })
})
