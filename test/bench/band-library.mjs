// A broker of the library alone for the bench band, where no other is installed: node band-library.mjs PORT.
import { createServer } from 'node:net';
import { Aedes } from 'aedes';

const aedes = await Aedes.createBroker();
createServer((socket) => aedes.handle(socket.setNoDelay(true))).listen(Number(process.argv[2]), '127.0.0.1');
