// Loaded before the program and its player: MIDI ports whose names attack, whatever the machine has.
const fs = require('node:fs');
const { Module, syncBuiltinESMExports } = require('node:module');

class Ports {
  getPortCount() {
    return 2;
  }
  getPortName(port) {
    return `${process.env.HOSTILE_PORT} ${port}`;
  }
  openPort() {}
  openVirtualPort() {}
  closePort() {}
  ignoreTypes() {}
  on() {}
  sendMessage() {}
}
const load = Module._load;
Module._load = (name, ...rest) =>
  name === 'midi' ? { Output: Ports, Input: Ports, output: Ports, input: Ports } : load(name, ...rest);
const { accessSync } = fs;
fs.accessSync = (path, ...rest) => (path === '/dev/snd/seq' ? undefined : accessSync(path, ...rest));
syncBuiltinESMExports();
