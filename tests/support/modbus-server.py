"""A Modbus RTU sensor on a serial port: framing, checksum and answers are those of pymodbus.

Usage: modbus-server.py PORT UNIT. Standard input takes a line each:
  R ADDRESS VALUE...   input and holding registers from ADDRESS on
  FAULT none|mute|corrupt
Standard output says "ready" once, and "asked" for each request when told to FAULT mute.
"""

import sys
import threading

import serial
from pymodbus.datastore import (
    ModbusSequentialDataBlock,
    ModbusServerContext,
    ModbusSlaveContext,
)
from pymodbus.factory import ServerDecoder
from pymodbus.framer.rtu_framer import ModbusRtuFramer

REGISTERS = 200


def main():
    path, unit = sys.argv[1], int(sys.argv[2])
    # Registers beyond the block are refused by the library with exception 2.
    block = lambda: ModbusSequentialDataBlock(0, [0] * REGISTERS)
    slave = ModbusSlaveContext(ir=block(), hr=block(), zero_mode=True)
    context = ModbusServerContext(slaves={unit: slave}, single=False)
    framer = ModbusRtuFramer(ServerDecoder())
    state = {"fault": "none"}
    port = serial.Serial(path, 9600, timeout=0.005)

    def listen():
        for line in sys.stdin:
            words = line.split()
            if words[0] == "R":
                values = [int(word) for word in words[2:]]
                for function in (3, 4):
                    slave.setValues(function, int(words[1]), values)
            if words[0] == "FAULT":
                state["fault"] = words[1]

    def answer(request):
        if state["fault"] == "mute":
            return
        response = request.execute(context[request.unit_id])
        response.unit_id = request.unit_id
        packet = framer.buildPacket(response)
        if state["fault"] == "corrupt":
            packet = packet[:3] + bytes([packet[3] ^ 1]) + packet[4:]
        port.write(packet)

    threading.Thread(target=listen, daemon=True).start()
    print("ready", flush=True)
    while True:
        data = port.read(256)
        if data:
            framer.processIncomingPacket(data, answer, [unit])


main()
