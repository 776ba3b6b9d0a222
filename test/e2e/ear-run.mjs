// node ear-run.mjs WHERE SECONDS [KEEP]: listens there for so long and prints what the ear tells, a JSON document a line.
import { openEar } from '../../dist/ear/client.js';
import { parseEar } from '../../dist/ear/spec.js';

const [where = 'default', seconds = '10', keep = null] = process.argv.slice(2);
const from = parseEar(where);
if (!from.ok) throw new Error(from.fault.message);
const leave = () => ear.quit().then(() => process.exit(0));
const ear = openEar({
  from: from.value,
  keep,
  onMessage: (message) => {
    if (message.kind === 'level') return;
    const { clip, ...rest } = message;
    console.log(JSON.stringify({ ...rest, ...(clip ? { clip: clip.length } : {}) }));
    if (message.kind === 'ended') leave();
  },
});
setTimeout(leave, 1000 * Number(seconds));
process.on('SIGTERM', leave);
