// The least that brings a serial port's lines to a browser: what everything else is measured against.
// Plain JavaScript, so that it starts as fast as a built program does.
import { ReadlineParser } from '@serialport/parser-readline'
import { SerialPort } from 'serialport'
import { WebSocketServer } from 'ws'

const port = new SerialPort({ path: process.argv[2], baudRate: 115_200 })
const server = new WebSocketServer({ port: 0, host: '127.0.0.1', perMessageDeflate: false })
port.pipe(new ReadlineParser({ delimiter: '\r\n', encoding: 'latin1' })).on('data', (line) => {
  for (const client of server.clients) client.send(line)
})
server.on('listening', () => {
  const url = `ws://127.0.0.1:${server.address().port}/`
  process.stdout.write(`${JSON.stringify({ ready: true, url })}\n`)
})
